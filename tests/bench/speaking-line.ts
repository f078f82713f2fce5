import { SerialLine } from '../../node/bench/board/serial-line.js';
import type { Bench } from './board-rig.js';
import { FirmataSpeaker } from './firmata-speaker.js';

/** A board that answers like the stock firmware in real time, on a serial line that a terminal can be plugged into. */
export class SpeakingLine {
  readonly line: SerialLine;
  readonly #ticking: NodeJS.Timeout;

  constructor(bench: Bench) {
    this.line = new SerialLine((bytes) => speaker.receive(bytes));
    const speaker = new FirmataSpeaker(bench.outside, (bytes) => {
      for (const byte of bytes) this.line.fromBoard(byte);
    });
    this.#ticking = setInterval(() => {
      speaker.advance(5);
      this.line.flush();
    }, 5);
  }

  stop(): void {
    clearInterval(this.#ticking);
  }
}
