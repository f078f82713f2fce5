import type { BoardWiring } from './board-wiring.js';
import { type BoardMake, clockHz, EmulatedBoard } from './emulated-board.js';
import { SerialLine } from './serial-line.js';

/** Emulated time between two looks at the world: inputs, chips and circuits outside the board. */
const sliceS = 0.01;
const sliceCycles = Math.round(sliceS * clockHz);

export type Outside = Omit<BoardWiring, 'onSerialOut'> & {
  /** Called once per slice of emulated time; the board's power makes no difference to it. */
  advance(dtS: number, atS: number): void;
};

/** A board, its serial line and the world outside, advanced together by emulated time. */
export class Emulation {
  readonly board: EmulatedBoard;
  readonly line: SerialLine;
  readonly #outside: Outside;
  #nextSliceAtCycle = sliceCycles;

  constructor(flash: Uint16Array, outside: Outside, make?: BoardMake) {
    this.#outside = outside;
    this.line = new SerialLine((bytes) => this.board.receive(bytes));
    this.board = new EmulatedBoard(
      flash,
      {
        chips: () => outside.chips(),
        analogCounts: (channel, atS) => outside.analogCounts(channel, atS),
        inputLevel: (pin, atS) => outside.inputLevel(pin, atS),
        onOutput: (pin, high, atS) => outside.onOutput(pin, high, atS),
        onSerialOut: (byte) => this.line.fromBoard(byte),
      },
      make,
    );
  }

  get nowS(): number {
    return this.board.nowS;
  }

  /** Advances by whole clock cycles (1 or more; an instruction may overshoot by a few), then hands over serial bytes. */
  advanceCycles(cycles: number): void {
    const end = this.board.cycles + cycles;
    while (this.board.cycles < end) {
      this.board.run(Math.max(1, Math.min(end, this.#nextSliceAtCycle) - this.board.cycles));
      if (this.board.cycles < this.#nextSliceAtCycle) continue;
      this.#nextSliceAtCycle += sliceCycles;
      this.#outside.advance(sliceS, this.nowS);
    }
    this.line.flush();
  }
}
