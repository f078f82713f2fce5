import { EventEmitter } from 'node:events';
import type { FirmataTransport } from 'firmata-io';
import type { BytePort } from './byte-port.js';

/**
 * What firmata-io takes for its serial port, for life. Ports come and go beneath it; a new Firmata for each
 * would leak listeners and timers.
 */
export class StableTransport extends EventEmitter implements FirmataTransport {
  #port: BytePort | undefined;
  #unsent: Uint8Array[] = [];

  attach(port: BytePort): void {
    this.#port = port;
    this.emit('open');
  }

  detach(): void {
    this.#port = undefined;
    this.#unsent = [];
  }

  /**
   * Orders of one turn leave together: most of what a write costs is the call, not the bytes. While no port is
   * attached the bytes are forgotten: everything is sent again after the next handshake.
   */
  write(bytes: Uint8Array, done?: () => void): void {
    if (this.#port !== undefined) {
      if (this.#unsent.length === 0) queueMicrotask(() => this.#send());
      this.#unsent.push(bytes);
    }
    done?.();
  }

  deliver(bytes: readonly number[]): void {
    this.emit('data', bytes);
  }

  #send(): void {
    const together = this.#unsent;
    this.#unsent = [];
    const [only] = together;
    if (only === undefined) return;
    this.#port?.write(together.length === 1 ? only : Buffer.concat(together));
  }
}
