import type { BytePort } from '../../../node/board/byte-port.js';

/** STK500 version 1, Atmel AVR061, restated: what each command is followed by, besides the end mark 0x20. */
const inSync = 0x14;
const ok = 0x10;
const end = 0x20;

export type BootloaderFaults = {
  readonly signature?: readonly number[];
  /** Says this to whatever it is asked. */
  readonly says?: readonly number[];
  /** This byte of the flash cannot be written. */
  readonly badByte?: number;
};

/** A bootloader with 32 KiB of flash behind a port in memory. */
export class ScriptedBootloader implements BytePort {
  readonly label = 'bootloader';
  readonly #flash = new Uint8Array(32_768).fill(0xff);
  pagesWritten = 0;
  readonly #faults: BootloaderFaults;
  #listener: (bytes: Uint8Array) => void = () => {};
  #address = 0;

  constructor(faults: BootloaderFaults = {}) {
    this.#faults = faults;
  }

  write(command: Uint8Array): void {
    const bytes = this.#faults.says ?? this.#answer([...command]);
    setImmediate(() => this.#listener(Uint8Array.from(bytes)));
  }
  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.#listener = listener;
  }
  onClosed(): void {}
  async close(): Promise<void> {}

  #answer(command: number[]): number[] {
    return command.at(-1) === end ? [inSync, ...this.#applyCommand(command), ok] : [];
  }

  #applyCommand([code, first = 0, second = 0, , ...data]: number[]): number[] {
    switch (code) {
      case 0x75:
        return [...(this.#faults.signature ?? [0x1e, 0x95, 0x0f])];
      case 0x55:
        this.#address = (first | (second << 8)) * 2;
        return [];
      case 0x64:
        this.#program(data.slice(0, -1));
        return [];
      case 0x74:
        return [...this.#flash.subarray(this.#address, this.#address + ((first << 8) | second))];
      default:
        return [];
    }
  }

  #program(bytes: number[]): void {
    this.#flash.set(bytes, this.#address);
    this.pagesWritten += 1;
    if (this.#faults.badByte !== undefined) this.#flash[this.#faults.badByte] = 0;
  }
}
