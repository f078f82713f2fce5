import { SerialPort } from 'serialport';
import { type BytePort, mostBytesWaiting } from './byte-port.js';

/** The baud rate of stock StandardFirmata. */
export const firmataBaud = 57600;

const closeWithinMs = 1000;
/** Long enough for the capacitor between DTR and the reset pin. */
const resetPulseMs = 250;

/** Opening an Uno-class board raises DTR and so resets it: it answers about two seconds later. */
export async function openSerialPort(path: string, baudRate: number): Promise<BytePort> {
  return new SerialBytePort(path, await openSerialStream(path, baudRate));
}

/**
 * A plain serial port as a stream, for what is not a board. Destroying the stream frees the port, which serialport
 * alone does not do: it would stay locked. Rejects with a sentence for a person.
 */
export function openSerialStream(path: string, baudRate: number): Promise<SerialPort> {
  return new Promise((resolve, reject) => {
    const port = new SerialPort({ path, baudRate, autoOpen: false });
    port._destroy = (error, done) => {
      if (port.isOpen) port.close(() => done(error));
      else done(error);
    };
    port.open((cause) => {
      if (cause === null) resolve(port);
      else reject(new Error(advice(path, cause), { cause }));
    });
  });
}

function advice(path: string, cause: Error): string {
  const said = cause.message;
  if (/permission|EACCES|access denied/i.test(said))
    return `${path} may not be opened by this user (${said}). On Linux: sudo usermod -aG dialout $USER, then log in again.`;
  if (/lock|busy/i.test(said))
    return `${path} is held by another program (${said}). Close the serial monitor or the other node.`;
  if (/no such file|ENOENT|not found|cannot find/i.test(said))
    return `There is no ${path}. Plug the board in, or give "auto" to look for it.`;
  return `${path} could not be opened (${said}).`;
}

class SerialBytePort implements BytePort {
  readonly label: string;
  readonly #port: SerialPort;
  #why = 'the port was closed';

  constructor(path: string, port: SerialPort) {
    this.label = path;
    this.#port = port;
    port.on('error', (error) => {
      this.#why = error.message;
    });
  }

  write(bytes: Uint8Array): void {
    if (!this.#port.isOpen) return;
    this.#port.write(bytes);
    if (this.#port.writableLength > mostBytesWaiting) void this.close();
  }

  async pulseReset(): Promise<void> {
    // A pseudo-terminal has no such lines, and refuses.
    await this.#setLines(false).catch(() => {});
    await new Promise((resolve) => setTimeout(resolve, resetPulseMs));
    await this.#setLines(true).catch(() => {});
  }

  #setLines(high: boolean): Promise<void> {
    return new Promise((resolve, reject) => {
      this.#port.set({ dtr: high, rts: high }, (error) => (error ? reject(error) : resolve()));
    });
  }

  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.#port.on('data', listener);
  }

  onClosed(listener: (why: string) => void): void {
    this.#port.once('close', (error: (Error & { disconnected?: boolean }) | null) => {
      listener(error?.disconnected ? 'the cable was pulled out' : (error?.message ?? this.#why));
    });
  }

  close(): Promise<void> {
    return new Promise((resolve) => {
      // A port whose device is gone sometimes never reports that it has closed.
      const giveUp = setTimeout(resolve, closeWithinMs);
      const done = () => {
        clearTimeout(giveUp);
        resolve();
      };
      if (this.#port.isOpen) this.#port.close(done);
      else done();
    });
  }
}
