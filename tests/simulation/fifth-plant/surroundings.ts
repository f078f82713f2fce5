import type { Random } from '../../../node/bench/plant/random.js';
import { lump, toward } from './lump.js';
import type { BoatTraits } from './traits.js';

/** The water and the air around the engines on one day: fronts of river and tide, swell, the room and its fan. */
export class Surroundings {
  roomC: number;
  /** Water off the seacock, apart from the sea of the day, K. */
  apartK = 0;
  /** Rise and fall of the hull, -1 to 1 in the worst sea. */
  swell = 0;
  private frontK = 0;
  private frontS = 100;
  private phase = 0;
  private atS = 0;
  private stillS = 1e5;
  private readonly traits: BoatTraits;
  private readonly outsideC: number;
  private readonly random: Random;

  constructor(traits: BoatTraits, outsideC: number, random: Random) {
    this.traits = traits;
    this.outsideC = outsideC;
    this.random = random;
    this.roomC = outsideC + random.between(0, 4);
    this.atS = random.between(0, 20_000);
  }

  step(dtS: number, roughness: number, runs: boolean, airKgPerS: number, heatW: number): void {
    const { random, traits } = this;
    const { sea, room } = traits;
    this.atS += dtS;
    if (random.chance((sea.frontsPerHour * dtS) / 3600)) {
      this.frontK = sea.frontK * random.normal();
      this.frontS = random.between(8, 150);
    }
    const tideK = sea.tideK * Math.sin((2 * Math.PI * this.atS) / 22_350);
    this.apartK = toward(this.apartK, this.frontK + tideK, dtS, this.frontS);
    this.phase += (2 * Math.PI * dtS * random.between(0.7, 1.3)) / sea.waveS;
    this.swell = roughness * Math.sin(this.phase);
    this.stillS = runs ? 0 : this.stillS + dtS;
    const fanWPerK = this.stillS <= room.fanRunOnS ? room.fanWPerK : 0;
    const outWPerK = room.hullWPerK + fanWPerK + airKgPerS * 1006;
    this.roomC = lump(this.roomC, room.joulesPerK, dtS, [[outWPerK, this.outsideC]], heatW);
  }
}
