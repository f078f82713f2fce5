import type { Random } from '../plant/random.js';

/** Mean time between bursts, and length of one; invented. */
const meanQuietS = 2;
const burstS = 0.6;

/** A connection that works most of the time and breaks in bursts, as a chafed wire does on a vibrating engine. */
export class LooseContact {
  readonly #chance: Random;
  #burstLeftS = 0;
  #broken = false;

  constructor(chance: Random) {
    this.#chance = chance;
  }

  get broken(): boolean {
    return this.#broken;
  }

  advance(dtS: number): void {
    if (this.#burstLeftS > 0) {
      this.#burstLeftS -= dtS;
      this.#broken = this.#burstLeftS > 0 && this.#chance.chance(0.5);
    } else if (this.#chance.chance(dtS / meanQuietS)) this.#burstLeftS = burstS;
  }
}
