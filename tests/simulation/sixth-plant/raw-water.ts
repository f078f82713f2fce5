import type { Ailments } from '../../../node/bench/plant/ailments.js';
import type { Random } from '../../../node/bench/plant/random.js';
import { clamp, relax, wander } from './relax.js';
import type { EngineTraits } from './traits.js';

/** Water in a line, as kilograms behind the seacock, and how much air lies there. */
type Bubble = { toPumpKg: number; airKg: number };

/** Seacock, strainer, suction line, flexible-impeller pump and what is behind it, up to the vented loop. */
export class RawWater {
  /** Water through the pump, and what reaches the elbow after weep, bypass and the water that still runs out, kg/s. */
  kgPerS = 0;
  elbowKgPerS = 0;
  /** Of what this speed would bring with nothing in its way; 0 when stopped. */
  flowPart = 0;
  pressureKpa = 0;
  lineC: number;
  private readonly bubbles: Bubble[] = [];
  private weed = 0;
  private vent = 0;
  private standing = 0;
  private readonly ratedKgPerS: number;
  private readonly traits: EngineTraits;
  private readonly random: Random;

  constructor(traits: EngineTraits, ratedKgPerS: number, seaC: number, random: Random) {
    this.traits = traits;
    this.ratedKgPerS = ratedKgPerS * traits.raw.part;
    this.random = random;
    this.lineC = seaC;
    this.vent = random.normal();
    // Water that ran out since the last trip, and scraps of weed from it.
    const drained = clamp(traits.raw.drainedPerHour * random.between(0, 4), 0, 0.9) * traits.raw.lineL;
    if (drained > 0) this.bubbles.push({ toPumpKg: 0, airKg: drained });
  }

  /** `speed` and `boat` of rated; `roughness` as in `SeaAndRoom`. */
  step(
    dtS: number,
    speed: number,
    {
      seaC,
      roomC,
      boat,
      roughness,
      weed,
    }: { seaC: number; roomC: number; boat: number; roughness: number; weed: boolean },
    ailments: Ailments,
  ): void {
    const { raw } = this.traits;
    const { random } = this;
    if (weed) this.weed = Math.max(this.weed, random.between(0.2, 0.6));
    // It is drawn apart in minutes, and falls off when the engine stops.
    this.weed = relax(this.weed, 0, dtS, speed > 0 ? 600 : 20);
    const ramKpa = raw.ramKpa * boat * boat;
    const clearKgPerS = this.pumped(speed, 0, { ...ailments, impeller: 1, exchanger: 1 }, 1);
    const free = this.pumped(speed, ramKpa, ailments, Math.max(1e-3, ailments.strainer * (1 - this.weed)));
    const wholeKgPerS = Math.min(free, clearKgPerS * ailments.intake);
    if (speed > 0.1 && random.chance((raw.gulpsPerMinute * roughness * dtS) / 60 + dtS / 40_000))
      this.gulp(wholeKgPerS * raw.gulpS * random.between(0.2, 1.5));
    const water = this.waterPart(wholeKgPerS * dtS) * (1 - this.airFrom(wholeKgPerS));
    this.kgPerS = wholeKgPerS * water;
    this.flowPart = clearKgPerS > 0 ? this.kgPerS / clearKgPerS : 0;
    this.vent = wander(this.vent, dtS, 300, random.normal());
    const weep = raw.weep * clamp(1 + 0.5 * this.vent, 0, 2);
    const sentKgPerS = this.kgPerS * (1 - weep) * (1 - this.traits.bypass);
    // What is above the elbow runs out when no more comes.
    this.elbowKgPerS = relax(this.elbowKgPerS, sentKgPerS, dtS, raw.runsOutS);
    if (this.elbowKgPerS < 1e-5) this.elbowKgPerS = 0;
    this.standing = relax(this.standing, this.kgPerS > 0 ? raw.loopKpa : 0, dtS, this.kgPerS > 0 ? 1 : 120);
    this.pressureKpa = this.dischargeKpa(wholeKgPerS, ailments) * water * water + this.standing;
    const tauS = raw.lineL / Math.max(1e-9, this.kgPerS);
    this.lineC = relax(this.lineC, seaC, dtS, Math.max(0.5, tauS));
    this.lineC = relax(this.lineC, roomC, dtS, 2500);
  }

  /** Air that comes in at the seacock reaches the pump when the water before it has gone through. */
  gulp(airKg: number): void {
    const ahead = this.bubbles.reduce((sum, { toPumpKg, airKg: air }) => sum + toPumpKg + air, 0);
    this.bubbles.push({ toPumpKg: Math.max(0, this.traits.raw.lineL - ahead), airKg });
  }

  private dischargeKpa(kgPerS: number, { exchanger }: Pick<Ailments, 'exchanger'>): number {
    return (this.traits.raw.dischargeKpa / exchanger ** 0.4) * (kgPerS / this.ratedKgPerS) ** 2;
  }

  /**
   * Vane pump: swept flow less a leak past the vanes in proportion to the pressure across it; both sides of it lose by the
   * square of the flow, so the flow is the root of a quadratic. On the suction side the vacuum has a limit.
   */
  private pumped(speed: number, ramKpa: number, ailments: Ailments, strainer: number): number {
    if (speed <= 0) return 0;
    const { raw } = this.traits;
    const rated = this.ratedKgPerS;
    // Half the loss of the suction side is the strainer's.
    const suctionKpa = raw.suctionKpa * (0.5 + 0.5 / strainer ** 2);
    const squareKpa = (this.dischargeKpa(rated, ailments) + suctionKpa) / rated ** 2;
    const liftKpa = raw.loopKpa - raw.seaHeadKpa - ramKpa;
    const wholeKpa = raw.dischargeKpa + raw.suctionKpa + raw.loopKpa - raw.seaHeadKpa;
    const left = ailments.impeller;
    const sweptKgPerS = (rated * (0.6 * left + 0.4)) / (1 - raw.slip);
    const wornKpa = (raw.dischargeKpa + raw.suctionKpa) * left ** 2 + raw.loopKpa - raw.seaHeadKpa;
    // A torn vane sweeps less and leaks more: as much as leaves this part of the flow at rated speed.
    const leak = left < 1 ? (sweptKgPerS - rated * left) / wornKpa : (sweptKgPerS - rated) / wholeKpa;
    const square = leak * squareKpa;
    const swept = Math.max(0, sweptKgPerS * speed - leak * liftKpa);
    const root = (Math.sqrt(1 + 4 * square * swept) - 1) / (2 * square);
    const vacuumKpa = Math.max(0, raw.vacuumKpa + raw.seaHeadKpa + ramKpa);
    return Math.min(root, rated * Math.sqrt(vacuumKpa / suctionKpa));
  }

  /** Moves the bubbles on by so much; what part of it the pump passes as water. A dry pump moves air at half its rate. */
  private waterPart(movedKg: number): number {
    const first = this.bubbles[0];
    if (!first || movedKg <= 0) return 1;
    if (first.toPumpKg > movedKg) {
      first.toPumpKg -= movedKg;
      return 1;
    }
    const airKg = Math.min(first.airKg, 0.5 * (movedKg - first.toPumpKg));
    const part = clamp(1 - (2 * airKg) / movedKg, 0, 1);
    first.toPumpKg = 0;
    first.airKg -= airKg;
    if (first.airKg <= 1e-9) this.bubbles.shift();
    return part;
  }

  /** Air through a loose fitting before the pump, by the vacuum there: an orifice, so by its root. */
  private airFrom(kgPerS: number): number {
    const { raw } = this.traits;
    const vacuumKpa = raw.suctionKpa * (kgPerS / this.ratedKgPerS) ** 2 - raw.seaHeadKpa;
    return vacuumKpa > 0 ? raw.airAtFitting * Math.sqrt(vacuumKpa / raw.suctionKpa) : 0;
  }
}
