import { EventEmitter } from 'node:events';
import type { BytePort } from '../byte-port.js';

const mostReceivedBytes = 8;

/** A byte port as the bootloader libraries need it: a stream with callbacks that emits `data` and `close`. */
export class PortStream extends EventEmitter {
  isOpen = true;
  readonly #port: BytePort;
  #received: number[] = [];
  #why = '';

  constructor(port: BytePort) {
    super();
    this.#port = port;
    port.onBytes((bytes) => {
      this.#received.push(...bytes.subarray(0, mostReceivedBytes - this.#received.length));
      this.emit('data', Buffer.from(bytes));
    });
    port.onClosed((why) => {
      this.isOpen = false;
      this.#why = why;
      this.emit('close');
    });
  }

  /** What came back since the last write, for messages. */
  get received(): string {
    if (!this.isOpen) return `the line closed: ${this.#why}`;
    return this.#received.length === 0 ? 'it says nothing' : `it says ${hex(this.#received)}`;
  }

  write(bytes: Buffer, done?: (error?: Error) => void): void {
    this.#received = [];
    if (this.isOpen) this.#port.write(bytes);
    done?.(this.isOpen ? undefined : new Error(this.received));
  }

  drain(done: () => void): void {
    done();
  }

  /** One question to a library. Rejects with what was received instead of the answer, at once when the line closes. */
  ask<Answer = unknown>(
    question: (done: (error?: Error | null | false, answer?: Answer) => void) => void,
  ): Promise<Answer> {
    return new Promise((resolve, reject) => {
      const fail = (cause?: unknown) => reject(new Error(this.received, { cause }));
      if (!this.isOpen) return fail();
      this.once('close', fail);
      question((error, answer) => {
        this.off('close', fail);
        if (error) fail(error);
        else resolve(answer as Answer);
      });
    });
  }
}

export const hex = (bytes: Iterable<number>): string =>
  Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join(' ');
