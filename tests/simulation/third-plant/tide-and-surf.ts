import type { Random } from '../../../node/bench/plant/random.js';
import type { Sea } from '../second-plant/weather.js';

/**
 * The sea of the third plant: groups of following waves that push and hold the boat, squalls that come at once and fade, a tide
 * line behind which the water is another, weed that gathers on an intake and washes off at low load, and intakes that roll out
 * of the water. How hard each is, is the day's.
 */
export class TideAndSurf implements Sea {
  readonly load: [number, number] = [1, 1];
  readonly open: [number, number] = [1, 1];
  readonly air: [number, number] = [0, 0];
  driftK = 0;
  private readonly random: Random;
  private readonly surf: number;
  private readonly squalls: number;
  private readonly weed: number;
  private readonly tides: number;
  private readonly periodS: number;
  private readonly groupS: number;
  private atS = 0;
  private squall = 0;
  private tideK = 0;
  private kPerS = 0;
  private readonly dryS: [number, number] = [0, 0];

  constructor(random: Random) {
    const { between, chance } = random;
    this.random = random;
    this.surf = chance(0.4) ? between(0.05, 0.2) : 0;
    this.squalls = chance(0.5) ? between(0.05, 0.25) : 0;
    this.weed = chance(0.3) ? between(0.1, 0.5) : 0;
    this.tides = chance(0.4) ? between(0.3, 1) : 0;
    this.periodS = between(4, 12);
    this.groupS = between(60, 200);
  }

  step(dtS: number, roughness: number): void {
    const { random } = this;
    this.atS += dtS;
    if (random.chance(dtS / 900)) this.squall = this.squalls * random.between(-0.5, 1);
    this.squall -= (this.squall * dtS) / 180;
    if (random.chance((this.tides * dtS) / 1200)) {
      this.tideK = random.between(-4, 4);
      this.kPerS = Math.abs(this.tideK - this.driftK) / random.between(30, 600);
    }
    const apartK = this.tideK - this.driftK;
    this.driftK += Math.sign(apartK) * Math.min(Math.abs(apartK), this.kPerS * dtS);
    const group = 0.5 + 0.5 * Math.sin((2 * Math.PI * this.atS) / this.groupS);
    const wave = Math.sin((2 * Math.PI * this.atS) / this.periodS);
    for (const i of [0, 1] as const) {
      const swell = (this.surf + 0.2 * roughness) * group * (i === 0 ? wave : -0.6 * wave);
      this.load[i] = Math.max(0.5, 1 + this.squall + swell);
      // Weed gathers over minutes to at most two thirds of the grid; now and then a throttle closed or a turn frees it.
      const gathers = this.weed > 0 ? (this.weed * dtS) / 600 : 0;
      this.open[i] = random.chance(dtS / 500) ? 1 : Math.max(1 - 1.3 * this.weed, this.open[i] - gathers);
      // The side that rolls up draws air while the wave is past its top.
      if (this.dryS[i] > 0) this.dryS[i] -= dtS;
      else if (random.chance(0.04 * roughness * group * dtS)) this.dryS[i] = random.between(0.2, 2.5);
      this.air[i] = this.dryS[i] > 0 ? 0.7 * roughness : 0;
    }
  }
}
