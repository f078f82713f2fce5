import type { CPU } from 'avr8js';
import type { BootableChip } from './bootable-chips.js';

/** ATmega328P data sheet DS40002061, 26.3.1, and ATmega2560 data sheet DS40002211, 29.9.1: the same register. */
const SPMCSR = 0x57;
const enable = 0x01;
const pageErase = 0x02;
const pageWrite = 0x04;
const readEnable = 0x10;
const sectionBusy = 0x40;
const operation = 0x1f;
const RAMPZ = 0x5b;
const Z = 30;

/** The SPM instruction must come within four cycles of the write to SPMCSR, which itself takes two. */
const armedCycles = 6;
/** The flash takes 3.7 to 4.5 ms to erase or to write a page (both data sheets, table "SPM programming time"). */
const pageTimeS = 0.004;

export const spmOpcode = 0x95e8;

/**
 * How a chip writes its own flash: the part of the silicon that a bootloader needs and the emulator lacks.
 * As on the chip, erasing sets a page to ones and writing can only clear bits, so a page that was not erased
 * comes out wrong. No lock bits: a bootloader that overwrites itself does so here, and it can be seen.
 */
export class SelfProgramming {
  readonly #cpu: CPU;
  readonly #chip: BootableChip;
  readonly #clockHz: number;
  readonly #bootFromByte: number;
  /** The page that is being filled; ones where nothing was put yet. */
  readonly #buffer: Uint8Array;
  #armedUntil = 0;
  #busy = false;

  constructor(
    cpu: CPU,
    chip: BootableChip,
    options: { readonly clockHz: number; readonly bootFromByte: number },
  ) {
    this.#cpu = cpu;
    this.#chip = chip;
    this.#clockHz = options.clockHz;
    this.#bootFromByte = options.bootFromByte;
    this.#buffer = new Uint8Array(chip.flashPageBytes).fill(0xff);
    cpu.writeHooks[SPMCSR] = (value) => {
      if (this.#busy) return true;
      const kept = (cpu.data[SPMCSR] ?? 0) & sectionBusy;
      cpu.data[SPMCSR] = kept | (value & ~sectionBusy);
      this.#armedUntil = cpu.cycles + armedCycles;
      return true;
    };
  }

  /** To be called when SPM is the next instruction, with the registers as it will find them. */
  execute(): void {
    const cpu = this.#cpu;
    const status = cpu.data[SPMCSR] ?? 0;
    const armed = (status & enable) !== 0 && cpu.cycles <= this.#armedUntil;
    if (this.#busy || !armed || cpu.pc * 2 < this.#bootFromByte) return;
    switch (status & operation & ~enable) {
      case 0:
        this.#fill();
        this.#end();
        break;
      case pageErase:
        this.#changePage((page) => page.fill(0xff));
        break;
      case pageWrite:
        this.#changePage((page) => {
          for (const [at, byte] of this.#buffer.entries()) page[at] = (page[at] ?? 0xff) & byte;
        });
        this.#buffer.fill(0xff);
        break;
      case readEnable:
        this.#buffer.fill(0xff);
        cpu.data[SPMCSR] = status & ~sectionBusy;
        this.#end();
        break;
      default:
        throw new Error(`The emulated chip knows no self-programming operation ${status & operation}.`);
    }
  }

  get #address(): number {
    const { data, dataView, progBytes } = this.#cpu;
    return (((data[RAMPZ] ?? 0) << 16) | dataView.getUint16(Z, true)) % progBytes.length;
  }

  /** A word of the buffer is written once; only a page write or the read enable empties it. */
  #fill(): void {
    const at = this.#address & (this.#chip.flashPageBytes - 1) & ~1;
    if (this.#buffer[at] !== 0xff || this.#buffer[at + 1] !== 0xff) return;
    this.#buffer.set(this.#cpu.data.subarray(0, 2), at);
  }

  #changePage(change: (page: Uint8Array) => void): void {
    const cpu = this.#cpu;
    const { flashPageBytes, noReadWhileWriteFrom } = this.#chip;
    const from = this.#address & ~(flashPageBytes - 1);
    change(cpu.progBytes.subarray(from, from + flashPageBytes));
    this.#busy = true;
    if (from < noReadWhileWriteFrom) cpu.data[SPMCSR] = (cpu.data[SPMCSR] ?? 0) | sectionBusy;
    cpu.addClockEvent(() => {
      this.#busy = false;
      this.#end();
    }, pageTimeS * this.#clockHz);
  }

  #end(): void {
    this.#cpu.data[SPMCSR] = (this.#cpu.data[SPMCSR] ?? 0) & ~operation;
  }
}
