import { EventEmitter } from 'node:events';
import type { FirmataTransport } from 'firmata-io';
import type { BytePort } from './byte-port.js';

/**
 * What firmata-io takes for its serial port, for life. Ports come and go beneath it; a new Firmata for each
 * would leak listeners and timers.
 */
export class StableTransport extends EventEmitter implements FirmataTransport {
  #port: BytePort | undefined;

  attach(port: BytePort): void {
    this.#port = port;
    this.emit('open');
  }

  detach(): void {
    this.#port = undefined;
  }

  /** While no port is attached the bytes are forgotten: everything is sent again after the next handshake. */
  write(bytes: Uint8Array, done?: () => void): void {
    this.#port?.write(bytes);
    done?.();
  }

  deliver(bytes: readonly number[]): void {
    this.emit('data', bytes);
  }
}
