import { makeRandom } from '../plant/random.js';

/** Longest run of bytes handed over at once; more than a slice of emulated time can produce at 57,600 baud. */
const mostHeldBytes = 8192;

/** The serial cable between board and computer. Bytes are lost while no program has the port open, as on a real one. */
export class SerialLine {
  readonly #toBoard: (bytes: Uint8Array) => void;
  #listener: ((bytes: Uint8Array) => void) | undefined;
  #held: number[] = [];
  /** Chance that a byte, either way, arrives with one bit flipped. */
  bitErrorsPerByte = 0;
  readonly #chance = makeRandom(1);

  constructor(toBoard: (bytes: Uint8Array) => void) {
    this.#toBoard = toBoard;
  }

  /** Opens the computer's end; one listener at a time, and the last one to open has it. */
  open(listener: (bytes: Uint8Array) => void): void {
    this.#held = [];
    this.#listener = listener;
  }

  close(): void {
    this.#listener = undefined;
    this.#held = [];
  }

  fromComputer(bytes: Uint8Array): void {
    this.#toBoard(bytes.map((byte) => this.#damaged(byte)));
  }

  fromBoard(byte: number): void {
    if (this.#listener && this.#held.length < mostHeldBytes) this.#held.push(this.#damaged(byte));
  }

  /** Hands over what the board has sent since the last time. */
  flush(): void {
    if (this.#held.length === 0) return;
    const bytes = Uint8Array.from(this.#held);
    this.#held = [];
    this.#listener?.(bytes);
  }

  #damaged(byte: number): number {
    if (this.bitErrorsPerByte === 0 || !this.#chance.chance(this.bitErrorsPerByte)) return byte;
    return byte ^ (1 << Math.floor(this.#chance.between(0, 8)));
  }
}
