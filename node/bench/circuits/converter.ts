import { deviation } from '../chance.js';
import type { Random } from '../plant/random.js';

/** Standard deviation of the board's converter in counts; 0.4 to 1.4 is what such boards show (invented within that). */
const noiseCounts = 0.8;
/** The offset that a board keeps for life; the ATmega328P datasheet allows 2 counts in all (from memory). */
const offsetWithinCounts = 0.7;

/** Turns a share of the supply into counts of the 10-bit converter with this board's own offset and noise. */
export class Converter {
  readonly #chance: Random;
  readonly #offsetCounts: number;

  constructor(chance: Random, exact: boolean) {
    this.#chance = chance;
    this.#offsetCounts = exact ? 0 : deviation(chance, offsetWithinCounts);
  }

  /** `share` 0 is ground and 1 the supply; the result is neither clipped nor truncated yet. */
  counts(share: number): number {
    return share * 1024 + this.#offsetCounts + this.#chance.normal() * noiseCounts;
  }
}
