import type { MonotonicMs } from '../time/clock.js';
import type { BytePort } from './byte-port.js';
import type { Identity } from './firmware.js';
import type { Handshake } from './handshake.js';

/** What the supervisor drives; the board behind it knows the library and the pins. */
export interface SupervisedBoard {
  attach(port: BytePort): void;
  detach(): void;
  /** Bytes from the port, in order; the board answers with frames through `Supervisor.takeFrame`. */
  takeBytes(bytes: Uint8Array): void;
  ask(bytes: readonly number[]): void;
  setUp(identity: Identity): void;
  /** Whether analogue reports are expected. */
  awaitsScans(): boolean;
  onStatus(): void;
}

/** Where the supervisor is between an open port and the next. */
export type Phase =
  | { readonly kind: 'waiting'; readonly untilMs: number }
  | { readonly kind: 'opening' }
  | { readonly kind: 'identifying'; readonly port: BytePort; readonly handshake: Handshake }
  | {
      readonly kind: 'running';
      readonly port: BytePort;
      readonly identity: Identity;
      readonly sinceMs: MonotonicMs;
    }
  | { readonly kind: 'closed' };
