/** The part of stk500 2.0.3 that this folder uses; the package ships no types of its own. */
declare module 'stk500' {
  import type { ByteStream, Done } from 'stk500/lib/sendCommand.js';

  export default class Stk500 {
    constructor(options: { readonly quiet: boolean });
    sync(stream: ByteStream, attempts: number, timeoutMs: number, done: Done): void;
    enterProgrammingMode(stream: ByteStream, timeoutMs: number, done: Done): void;
    /** `address` counts words of two bytes. */
    loadAddress(stream: ByteStream, address: number, timeoutMs: number, done: Done): void;
    loadPage(stream: ByteStream, page: Buffer, timeoutMs: number, done: Done): void;
    exitProgrammingMode(stream: ByteStream, timeoutMs: number, done: Done): void;
  }
}

declare module 'stk500/lib/sendCommand.js' {
  import type { EventEmitter } from 'node:events';

  export interface ByteStream extends EventEmitter {
    write(bytes: Buffer, done: (error?: Error) => void): void;
  }
  export type Done = (error?: Error | null, answer?: Buffer) => void;

  /** Sends a command and its end mark; answers with `responseLength` bytes from the mark "in sync" on. */
  export default function sendCommand(
    stream: ByteStream,
    command: { readonly cmd: number[]; readonly responseLength: number; readonly timeout: number },
    done: Done,
  ): void;
}

/** The part of stk500-v2 1.0.4 that this folder uses. */
declare module 'stk500-v2' {
  import type { EventEmitter } from 'node:events';

  export interface PortLike extends EventEmitter {
    readonly isOpen: boolean;
    write(bytes: Buffer): void;
    drain(done: () => void): void;
  }
  type Done<Answer> = (error?: Error | null | false, answer?: Answer) => void;
  export type Packet = { readonly message: Buffer };

  export interface Stk500V2 {
    readonly parser: EventEmitter & { send(command: Buffer, done: Done<Packet>): void };
    sync(attempts: number, done: Done<string>): void;
    getSignature(done: Done<Buffer>): void;
    enterProgrammingMode(options: object, done: Done<never>): void;
    /** `address` counts words of two bytes. */
    loadAddress(address: number, done: Done<never>): void;
    loadPage(page: Buffer, done: Done<never>): void;
    exitProgrammingMode(done: Done<never>): void;
  }
  export default function stk500V2(port: PortLike): Stk500V2;
}
