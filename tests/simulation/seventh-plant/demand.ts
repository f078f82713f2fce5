import type { Random } from '../../../node/bench/plant/random.js';
import { lagged } from './heat.js';
import type { Surroundings } from './surroundings.js';
import type { BoatTraits } from './traits.js';

/** At this lever or below the skipper may be in or out of gear. */
const manoeuvringLever = 0.12;
/** A propeller that is towed faster than it turns still drags something, of its steady load. */
const leastLoad = 0.15;
/** An engaged gearbox takes its time; so does the load that follows it, s. */
const clutchS = 0.8;

/** What one engine is asked to drive, of rated power at rated speed: a propeller in the sea, or the appliances. */
export class Demand {
  inGear = false;
  load = 0;
  private turnsAfterS = 0;
  private applianceOn = false;
  private readonly appliancePart: number;
  private readonly sailPart: number;
  private readonly traits: BoatTraits;
  private readonly random: Random;
  private readonly fit: number;

  /** `sailPart`: what the sails leave for the propeller today; `fit`: the propeller's load with today's hull. */
  constructor(traits: BoatTraits, random: Random, fit: number, sailPart: number) {
    this.traits = traits;
    this.random = random;
    this.fit = fit;
    this.sailPart = sailPart;
    this.appliancePart = random.between(0.05, 0.25);
    this.turnsAfterS = random.between(10, 120);
  }

  step(
    dtS: number,
    throttle: number,
    speedPart: number,
    around: Surroundings,
    roughness: number,
    ailing: number,
  ): void {
    this.turnsAfterS -= dtS;
    if (this.traits.kind === 'generator') {
      this.supply(dtS, throttle, ailing);
      return;
    }
    if (throttle > manoeuvringLever) this.inGear = true;
    else if (throttle <= 0) this.inGear = false;
    else if (this.turnsAfterS <= 0) {
      this.inGear = !this.inGear;
      this.turnsAfterS = this.random.between(4, this.inGear ? 60 : 90);
    }
    let target = 0;
    if (this.inGear) {
      const slip = 1 + this.traits.slipLoad * (1 - around.way / Math.max(0.05, speedPart));
      const wave = 1 + this.traits.waveLoad * roughness * around.heave;
      const sails = around.way > 0.3 ? this.sailPart : 1;
      target = this.fit * ailing * Math.max(leastLoad, slip * wave * sails);
    }
    this.load = lagged(this.load, target, dtS, clutchS);
  }

  /** Heaters, compressors and chargers come and go on top of the steady load. */
  private supply(dtS: number, throttle: number, ailing: number): void {
    if (this.turnsAfterS <= 0) {
      this.applianceOn = !this.applianceOn;
      this.turnsAfterS = this.random.between(40, 420);
    }
    const steady = throttle > 0 ? 0.04 + 0.9 * throttle : 0;
    const cycling = this.applianceOn ? this.appliancePart * Math.min(1, throttle * 4) * (1 - throttle) : 0;
    this.load = lagged(this.load, (steady + cycling) * ailing, dtS, clutchS);
  }
}
