import type { BytePort } from '../../../node/board/byte-port.js';

/** STK500 version 1, Atmel AVR061, restated: what each command is followed by, besides the end mark 0x20. */
const inSync = 0x14;
const ok = 0x10;
const end = 0x20;

export type BootloaderFaults = {
  readonly signature?: readonly number[];
  /** Says nothing at all, as a board without that bootloader. */
  readonly dead?: boolean;
  /** Calls that are swallowed before it answers, as while the board still restarts. */
  readonly deafFor?: number;
  /** Goes silent at this many written pages. */
  readonly diesAfterPages?: number;
  /** This byte of the flash cannot be written. */
  readonly badByte?: number;
};

/** A bootloader with 32 KiB of flash behind a port in memory. */
export class ScriptedBootloader implements BytePort {
  readonly label = 'bootloader';
  readonly flash = new Uint8Array(32_768).fill(0xff);
  pagesWritten = 0;
  left = false;
  readonly #faults: BootloaderFaults;
  #listener: (bytes: Uint8Array) => void = () => {};
  #deafFor: number;
  #address = 0;

  constructor(faults: BootloaderFaults = {}) {
    this.#faults = faults;
    this.#deafFor = faults.deafFor ?? 0;
  }

  write(command: Uint8Array): void {
    const answer = this.#answer([...command]);
    if (answer !== undefined) setImmediate(() => this.#listener(Uint8Array.from([inSync, ...answer, ok])));
  }
  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.#listener = listener;
  }
  onClosed(): void {}
  async close(): Promise<void> {}

  #answer(command: number[]): number[] | undefined {
    if (this.#faults.dead || command.at(-1) !== end || this.#deafFor-- > 0) return undefined;
    if (this.pagesWritten >= (this.#faults.diesAfterPages ?? Number.POSITIVE_INFINITY)) return undefined;
    const [code, first = 0, second = 0] = command;
    const length = (first << 8) | second;
    switch (code) {
      case 0x75:
        return [...(this.#faults.signature ?? [0x1e, 0x95, 0x0f])];
      case 0x55:
        this.#address = (first | (second << 8)) * 2;
        return [];
      case 0x64:
        this.#program(command.slice(4, -1));
        return command.length === length + 5 ? [] : undefined;
      case 0x74:
        return [...this.flash.subarray(this.#address, this.#address + length)];
      case 0x51:
        this.left = true;
        return [];
      default:
        return [];
    }
  }

  #program(bytes: number[]): void {
    this.flash.set(bytes, this.#address);
    this.pagesWritten += 1;
    if (this.#faults.badByte !== undefined) this.flash[this.#faults.badByte] = 0;
  }
}
