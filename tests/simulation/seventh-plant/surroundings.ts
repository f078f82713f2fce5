import type { Random } from '../../../node/bench/plant/random.js';
import { lagged } from './heat.js';
import type { BoatTraits } from './traits.js';

/** Distance at full speed, s, over which the warm water of a harbour is left behind; and back at the quay. */
const leaveHarbourS = 150;
const backInHarbourS = 1800;
/** Groups of seas: how fast their height changes, s. */
const groupS = 40;
/** Rivers, tide races and shear lines: the chance of one on a day, and the latest it is met, s. */
const frontChance = 0.2;
const frontWithinS = 4000;
/** Chance that a trough of a full sea lets air to an intake of sensitivity 1. */
const gulpChance = 0.25;

/** The water around the hull: how warm it is, how it heaves, and how fast the boat goes through it. */
export class Surroundings {
  /** Part of full speed that both engines together give at rated speed. */
  way = 0;
  /** How much warmer than the open sea the water at the intakes is. */
  warmerK: number;
  /** About -1 to 1, more in a high group. */
  heave = 0;
  /** Air in what comes to an intake of sensitivity 1 now, 0 to 1; one for each engine. */
  readonly air: [number, number] = [0, 0];
  private wander = 0;
  private phase: number;
  private height = 1;
  private harbourK: number;
  private front = 0;
  private sailedS = 0;
  private readonly frontAtS: number;
  private readonly frontK: number;
  private readonly frontS: number;
  private readonly gulpLeftS: [number, number] = [0, 0];
  private readonly traits: BoatTraits;
  private readonly random: Random;

  constructor(traits: BoatTraits, random: Random) {
    this.traits = traits;
    this.random = random;
    this.phase = random.between(0, 6);
    this.harbourK = traits.harbourK * random.between(0.2, 1);
    this.wander = random.normal() * traits.seaWanderK;
    this.warmerK = this.harbourK + this.wander;
    this.frontK = random.chance(frontChance) ? traits.frontK * random.normal() : 0;
    this.frontAtS = random.between(300, frontWithinS);
    this.frontS = random.between(15, 120);
  }

  /** `port` and `starboard`: speed of each propeller, of the rated; 0 out of gear. */
  step(dtS: number, port: number, starboard: number, roughness: number): void {
    const { traits, random } = this;
    this.way = lagged(this.way, Math.cbrt((port ** 3 + starboard ** 3) / 2), dtS, traits.wayS);
    const step = dtS / traits.seaWanderS;
    this.wander += -this.wander * step + traits.seaWanderK * Math.sqrt(2 * step) * random.normal();
    if (this.way > 0.2) this.harbourK -= (this.harbourK * dtS * this.way) / leaveHarbourS;
    else this.harbourK = lagged(this.harbourK, traits.harbourK, dtS, backInHarbourS);
    if (this.way > 0.2) this.sailedS += dtS;
    if (this.sailedS > this.frontAtS) this.front = lagged(this.front, this.frontK, dtS, this.frontS);
    this.warmerK = this.harbourK + this.wander + this.front;
    if (roughness > 0) this.seaway(dtS, roughness);
    else {
      this.heave = 0;
      this.air[0] = 0;
      this.air[1] = 0;
    }
  }

  private seaway(dtS: number, roughness: number): void {
    const { random, traits } = this;
    const group = dtS / groupS;
    this.height += (1 - this.height) * group + 0.35 * Math.sqrt(2 * group) * random.normal();
    const before = this.phase;
    this.phase += (dtS * 2 * Math.PI) / traits.wavePeriodS;
    this.heave = this.height * Math.sin(this.phase);
    const trough = Math.floor(this.phase / (2 * Math.PI)) > Math.floor(before / (2 * Math.PI));
    for (let i = 0; i < 2; i++) {
      const left = (this.gulpLeftS[i] as number) - dtS;
      this.gulpLeftS[i] = left;
      if (left <= 0) this.air[i] = 0.02 * roughness * roughness;
    }
    if (!trough) return;
    const chance = gulpChance * roughness * roughness * Math.max(0, this.height);
    if (random.chance(chance)) this.gulp(0);
    if (traits.commonChest) {
      this.air[1] = this.air[0];
      this.gulpLeftS[1] = this.gulpLeftS[0];
    } else if (random.chance(chance)) this.gulp(1);
  }

  private gulp(at: 0 | 1): void {
    this.gulpLeftS[at] = this.random.between(0.3, 1.6);
    this.air[at] = this.random.between(0.1, 0.7);
  }
}
