import type { Random } from '../../../node/bench/plant/random.js';
import type { Traits } from './traits.js';

const { exp, max, min, PI, sin } = Math;

/** What sea, skipper and consumers do to one engine at this moment. */
export type Around = {
  readonly seaC: number;
  readonly roomC: number;
  /** Propeller torque over that in calm water, and electric or hydraulic load, kW. */
  readonly load: number;
  readonly generatorKw: number;
  /** How far the skipper's hand is from where the voyage has it. */
  readonly hand: number;
  /** Part of the intake's suction area in good water, and part of what is drawn that is air. */
  readonly open: number;
  readonly air: number;
  /** Back pressure of a sea that runs up the exhaust outlet, kPa. */
  readonly surgeKpa: number;
};

/** A healthy day's troubles; what is drawn is the day, what follows is its course. Common practice, no source. */
export class DayAtSea {
  frontK = 0;
  private readonly random: Random;
  private readonly day: ReturnType<typeof drawDay>;
  private atS = 0;
  private goalK = 0;
  private kPerS = 0;
  private goalUntilS = 0;
  private gust = 0;
  private gustGoal = 0;
  private weed = 0;
  private readonly airS: [number, number] = [0, 0];
  private readonly generatorKw: [number, number] = [0, 0];
  private readonly hand: [number, number] = [0, 0];
  private handUntilS = 0;
  private astern = false;

  constructor(random: Random) {
    this.random = random;
    this.day = drawDay(random);
  }

  /** Advances the sea. `throttle` is that of the port engine: harbours are where it is low. */
  step(dtS: number, throttle: number): void {
    const { random, day } = this;
    this.atS += dtS;
    // River mouth: brackish water several kelvin apart, entered and left over minutes.
    if (day.rivers && this.atS > this.goalUntilS && random.chance(dtS / 2400)) {
      this.goalK = this.goalK === 0 ? random.between(2, 6) * (random.chance(0.5) ? 1 : -1) : 0;
      this.kPerS = Math.abs(this.goalK - this.frontK) / random.between(90, 480);
      this.goalUntilS = this.atS + 600;
    }
    this.frontK += max(-this.kPerS * dtS, min(this.kPerS * dtS, this.goalK - this.frontK));
    // Sails take a share of the work; gusts come within seconds and last a minute.
    if (random.chance(dtS / 70)) this.gustGoal = random.next();
    this.gust += (this.gustGoal - this.gust) * (dtS / 9);
    this.weed = min(day.weed, this.weed + (day.weed * dtS) / 1800);
    this.manoeuvre(dtS, throttle);
    for (const i of [0, 1] as const) {
      this.airS[i] = max(0, this.airS[i] - dtS);
      if (random.chance(dtS / 600)) this.generatorKw[i] = random.chance(0.5) ? random.between(1, 4) : 0;
    }
  }

  /** Between quays: bursts ahead and astern of a few seconds, on both engines or on one. */
  private manoeuvre(dtS: number, throttle: number): void {
    const { random } = this;
    if (this.atS < this.handUntilS) return;
    this.hand.fill(0);
    this.astern = false;
    if (throttle <= 0.1 || throttle > 0.35 || !random.chance(dtS / 20)) return;
    this.handUntilS = this.atS + random.between(2, 8);
    this.astern = random.chance(0.5);
    // Astern by way of neutral, or a burst.
    const push = random.chance(0.3) ? -throttle : random.between(0.05, 0.35);
    const one = random.next();
    if (one < 0.75) this.hand[0] = push;
    if (one > 0.25) this.hand[1] = push;
    if (this.astern) this.weed = 0;
  }

  around(
    i: 0 | 1,
    traits: Traits,
    roughness: number,
    water: { seaC: number; roomC: number },
    dtS: number,
  ): Around {
    const { random, day, atS } = this;
    const sea = min(1, day.swell + roughness);
    const roll = sea * sin((2 * PI * atS) / day.rollS) * (i === 0 ? 1 : -1);
    const pitch = sea * sin((2 * PI * atS) / day.pitchS + 1);
    // A gulp while this side is up, at most two seconds.
    if (roll > 0.35 && this.airS[i] === 0 && random.chance(0.06 * traits.gulps * roll * dtS))
      this.airS[i] = random.between(0.2, 2);
    const turns =
      this.astern && this.hand[i] > 0 ? { fixed: 1.15, folding: 1.3, variable: 1.1 }[traits.propeller] : 1;
    const pilot = day.pilot && (atS / day.pilotS) % 1 < 0.3 ? 0.3 : 0;
    return {
      ...water,
      load:
        (1 + 0.1 * pitch - 0.05 * roll) *
        (1 - day.sails * this.gust) *
        (1 + this.weed + 0.05 * pilot) *
        turns,
      generatorKw: min(this.generatorKw[i], 0.15 * traits.ratedKw) + pilot * min(1, traits.ratedKw / 40),
      hand: this.hand[i],
      open: 1 - 0.15 * max(0, roll),
      air: this.airS[i] > 0 ? 0.6 : 0,
      surgeKpa: day.following * (0.4 + sea) * max(0, sin((2 * PI * atS) / day.pitchS)) ** 2 * exp(-0.3 * i),
    };
  }
}

function drawDay(random: Random) {
  const { between, chance } = random;
  return {
    swell: chance(0.5) ? between(0.02, 0.35) : 0,
    rollS: between(2.5, 7),
    pitchS: between(3, 8),
    rivers: chance(0.35),
    sails: chance(0.35) ? between(0.08, 0.45) : 0,
    weed: chance(0.25) ? between(0.01, 0.06) : 0,
    pilot: chance(0.6),
    pilotS: between(5, 25),
    following: chance(0.3) ? between(1, 6) : 0,
  };
}
