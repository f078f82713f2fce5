import type { Ailments } from '../../../node/bench/plant/ailments.js';
import { dieselJPerKg, gasJPerKgK, toward } from './lump.js';
import { stoichiometric } from './model.js';
import type { EngineTraits } from './traits.js';

/** Where the engine is and what it meets at this step. */
export type Around = {
  readonly roomC: number;
  readonly seaC: number;
  readonly ailments: Ailments;
  readonly seaway: number;
};

/** Excess air below which the fuel is cut back, by the smoke limit of a turbocharged engine. */
const smokeLambda = 1.3;
const kelvin = 273.15;

/**
 * Crankshaft, cylinders and turbocharger. Fuel follows a Willans line: indicated work is a fixed part of it, friction comes
 * off. The walls take their heat by a Taylor law (flow to the 3/4, a mean gas temperature that rises with the fuel in the
 * air); what is left leaves as hot gas, so that the heat balance closes by construction.
 */
export class Diesel {
  throttle = 0;
  /** Crankshaft speed, part of the rated. */
  speed = 0;
  gasKgPerS = 0;
  /** Exhaust gas before and after the turbine. */
  manifoldC: number;
  tailC: number;
  fuelW = 0;
  brakeW = 0;
  /** Heat to the coolant, to the oil cooler and to the charge-air cooler. */
  coolantW = 0;
  oilW = 0;
  chargeW = 0;
  private boostPart = 0;
  private boat = 0;
  private crankedS = 0;
  private injectorK = 0;
  private readonly traits: EngineTraits;

  constructor(traits: EngineTraits, roomC: number) {
    this.traits = traits;
    this.manifoldC = this.tailC = roomC;
  }

  get isRunning(): boolean {
    return this.speed > 0.4 * this.idle;
  }

  private get idle(): number {
    return this.traits.idleRpm / this.traits.ratedRpm;
  }

  /** `coolantC`: of the block; `rawPart`: raw water through the charge-air cooler, part of the rated. */
  step(dtS: number, { roomC, seaC, ailments, seaway }: Around, coolantC: number, rawPart: number): void {
    const { traits } = this;
    this.crankedS = this.throttle > 0 ? this.crankedS + dtS : 0;
    const fires = this.throttle > 0 && this.crankedS > traits.crankS;
    const cold = 1 + 0.8 * Math.exp(-Math.max(0, coolantC + 10) / 28);
    const friction = (traits.frictionPa / traits.bmepPa) * (0.75 + 0.25 * this.speed) * cold;

    // Air first, since it limits the fuel.
    const pressure = 1 + (traits.boost - 1) * this.boostPart;
    const hotterK = ((roomC + kelvin) * (pressure ** 0.286 - 1)) / traits.compressor;
    const cooler = traits.afterCooler * Math.min(1, 2 * rawPart);
    const cooledK = cooler * Math.max(0, roomC + hotterK - seaC);
    const warmingK = traits.kind === 'turbo' ? hotterK - cooledK : 12;
    const airKgPerS =
      (traits.airKgPerS * this.speed * (pressure / traits.boost) * 310) / (roomC + kelvin + 0.3 * warmingK);
    const richestW =
      (airKgPerS * dieselJPerKg) / (stoichiometric * (traits.kind === 'turbo' ? smokeLambda : 1));

    // Torques as parts of the rated.
    const asked = this.load(seaway) * ailments.load;
    const rack = 1 + traits.torqueRise * (1 - ((this.speed - 0.65) / 0.35) ** 2);
    const smoky = (richestW * traits.indicated) / (traits.ratedW * Math.max(this.speed, 0.05)) - friction;
    const governed = asked + ((this.goal - this.speed) * traits.spinS) / 0.8;
    const torque = fires ? Math.max(-friction, Math.min(governed, rack, smoky)) : -friction;
    this.turn(dtS, fires, torque, asked);

    const turning = this.speed > 0 && fires;
    const indicatedW = turning ? Math.max(0, torque + friction) * traits.ratedW * this.speed : 0;
    this.gasKgPerS = airKgPerS + indicatedW / traits.indicated / dieselJPerKg;
    this.injectorK = toward(this.injectorK, ailments.injectorK, dtS, 4);
    const lateW = indicatedW > 0 ? this.injectorK * this.gasKgPerS * gasJPerKgK : 0;
    const burntW = indicatedW / traits.indicated;
    this.fuelW = burntW + lateW;
    const wallW = this.wallW(burntW, airKgPerS, coolantC);
    const frictionW = Math.min(indicatedW, friction * traits.ratedW * this.speed);
    this.brakeW = indicatedW - frictionW;
    const oil = traits.oilPart * Math.min(1, 3 * rawPart);
    this.oilW = frictionW * oil;
    this.coolantW = wallW + frictionW * (1 - oil);
    this.chargeW = traits.kind === 'turbo' ? this.gasKgPerS * gasJPerKgK * cooledK : 0;

    const flowJPerSK = Math.max(this.gasKgPerS * gasJPerKgK, 1e-6);
    const burnedK = (burntW - indicatedW - wallW + lateW) / flowJPerSK;
    const inletK = traits.kind === 'turbo' ? hotterK - cooledK : 0;
    const goalC = turning ? roomC + inletK + burnedK : roomC + inletK + 0.3 * (coolantC - roomC);
    if (this.gasKgPerS > 1e-6) {
      this.manifoldC = toward(this.manifoldC, goalC, dtS, 0.6);
      this.tailC = traits.kind === 'turbo' ? this.manifoldC - hotterK : this.manifoldC;
    }
    const boostGoal = turning ? (burntW / traits.fuelW) ** 0.85 : 0;
    this.boostPart = toward(this.boostPart, Math.min(1.1, boostGoal), dtS, traits.boostTauS);
  }

  /** Speed that the governor holds. */
  private get goal(): number {
    const lever = Math.max(0, (this.throttle - 0.05) / 0.95) ** this.traits.lever;
    return this.traits.kind === 'generator' ? 1 : this.idle + (1 - this.idle) * lever;
  }

  /** Torque asked for: a propeller behind a hull that gathers way, or a dynamo with its switchboard. */
  private load(seaway: number): number {
    const { kind, propeller, hump } = this.traits;
    if (kind === 'generator')
      return this.speed < 0.6 ? 0 : Math.max(0.02, this.throttle - 0.05) * this.speed ** 2;
    return (
      propeller *
      this.speed ** 2 *
      Math.max(0.2, 1 + hump * (1 - this.boat / Math.max(this.speed, 0.1)) + 0.1 * seaway)
    );
  }

  private turn(dtS: number, fires: boolean, torque: number, asked: number): void {
    const cranking = this.throttle > 0 && !fires;
    if (cranking) this.speed = toward(this.speed, Math.max(this.speed, 0.3 * this.idle), dtS, 0.3);
    else this.speed = Math.max(0, this.speed + ((torque - asked) * dtS) / this.traits.spinS);
    // The last turns against compression.
    if (this.throttle <= 0 && this.speed < 0.5 * this.idle) this.speed = Math.max(0, this.speed - 0.1 * dtS);
    this.boat = toward(this.boat, this.speed, dtS, this.traits.hullS);
  }

  private wallW(burntW: number, airKgPerS: number, coolantC: number): number {
    if (burntW <= 0 || airKgPerS <= 0) return 0;
    const { traits } = this;
    const meanC = (fuelW: number, kgPerS: number) => 60 + (12_000 * fuelW) / dieselJPerKg / kgPerS;
    const share = (meanC(burntW, airKgPerS) - coolantC) / (meanC(traits.fuelW, traits.airKgPerS) - 85);
    const watts = traits.wallPart * traits.fuelW * (airKgPerS / traits.airKgPerS) ** 0.75 * share;
    return Math.max(0.06 * burntW, Math.min(0.4 * burntW, watts));
  }
}
