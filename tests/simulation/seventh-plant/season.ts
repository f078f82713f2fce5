import type { Random } from '../../../node/bench/plant/random.js';
import type { WearTraits } from './traits.js';

/** Outings in a season, six of them spent on commissioning. */
const outingsOfSeason = 16;

/** What is a little worn, fouled or clogged today and still healthy. */
export class Season {
  /** 0 at its beginning to 1 at its end. */
  readonly gone: number;
  readonly vanesPart: number;
  readonly exchangerPart: number;
  readonly hullLoad: number;
  /** Hotter exhaust at rated flow than in spring, K. */
  readonly gasK: number;
  /** Open part of the strainer: some weed on some days, cleaned out every now and then. */
  readonly strainerPart: number;

  constructor(wear: WearTraits, outing: number, random: Random) {
    this.gone = Math.min(1, outing / outingsOfSeason);
    this.vanesPart = 1 - wear.impeller * this.gone;
    this.exchangerPart = 1 - wear.exchanger * this.gone;
    this.hullLoad = 1 + wear.hull * this.gone;
    this.gasK = wear.gasK * this.gone;
    this.strainerPart = 1 - wear.strainer * random.next() ** 2;
  }
}
