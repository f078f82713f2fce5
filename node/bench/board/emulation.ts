import { clockHz, EmulatedUno, type UnoWiring } from './emulated-uno.js';
import { SerialLine } from './serial-line.js';

/** Emulated time between two looks at the world: inputs, chips and circuits outside the board. */
const sliceS = 0.01;
const sliceCycles = Math.round(sliceS * clockHz);

export type Outside = Omit<UnoWiring, 'onSerialOut'> & {
  /** Called once per slice of emulated time; the board's power makes no difference to it. */
  advance(dtS: number, atS: number): void;
};

/** A board, its serial line and the world outside, advanced together by emulated time. */
export class Emulation {
  readonly uno: EmulatedUno;
  readonly line: SerialLine;
  readonly #outside: Outside;
  #nextSliceAtCycle = sliceCycles;

  constructor(program: Uint16Array, outside: Outside) {
    this.#outside = outside;
    this.line = new SerialLine((bytes) => this.uno.receive(bytes));
    this.uno = new EmulatedUno(program, {
      chips: () => outside.chips(),
      analogCounts: (channel, atS) => outside.analogCounts(channel, atS),
      inputLevel: (pin, atS) => outside.inputLevel(pin, atS),
      onOutput: (pin, high, atS) => outside.onOutput(pin, high, atS),
      onSerialOut: (byte) => this.line.fromBoard(byte),
    });
  }

  get nowS(): number {
    return this.uno.nowS;
  }

  /** Advances by whole clock cycles (1 or more; an instruction may overshoot by a few), then hands over serial bytes. */
  advanceCycles(cycles: number): void {
    const end = this.uno.cycles + cycles;
    while (this.uno.cycles < end) {
      this.uno.run(Math.max(1, Math.min(end, this.#nextSliceAtCycle) - this.uno.cycles));
      if (this.uno.cycles < this.#nextSliceAtCycle) continue;
      this.#nextSliceAtCycle += sliceCycles;
      this.#outside.advance(sliceS, this.nowS);
    }
    this.line.flush();
  }
}
