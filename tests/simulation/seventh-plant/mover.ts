import { dieselJPerKg, exhaustJPerKgK, lagged } from './heat.js';
import type { MoverTraits } from './traits.js';

/** What turns and hisses after the fuel is cut stops within a second or two. */
const coastS = 0.7;
/** Gearbox in neutral, water pump, oil pump: what an idling engine drives, of rated power at rated speed. */
const dragPart = 0.012;
/** Torque that smoke limits: a genset may be overloaded by a tenth for a while. */
const setLimit = 1.1;
/** Cold oil: friction at 10 C is about half again that of a warm engine. */
const coldFriction = 0.5;
const warmC = 75;
/** Turbochargers of this size gather speed in a second or two. */
const spoolS = 1.5;
/** Still gas in ports and pipe takes on the temperature of its metal in about this time. */
const stillGasS = 25;
/** Water from burning a kilogram of fuel C12H23 (kg), and in the air that it breathes (kg/kg). */
const waterPerFuel = 1.24;
const airHumidity = 0.008;

/** The diesel: speed, load, fuel, and where the heat of the fuel goes. */
export class Mover {
  running = false;
  /** Of rated speed. */
  speedPart = 0;
  brakeW = 0;
  fuelW = 0;
  coolantW = 0;
  radiatedW = 0;
  aftercoolerW = 0;
  gasKgPerS = 0;
  /** At the flange of the wet elbow. */
  gasC: number;
  gasHumidity = airHumidity;
  readonly ratedGasKgPerS: number;
  private manifoldC: number;
  private boostPart = 0;
  private crankedS = 0;
  private sinceStartS = 0;
  private readonly ratedFuelW: number;
  private readonly ratedAirKgPerS: number;
  private readonly traits: MoverTraits;

  constructor(traits: MoverTraits, roomC: number) {
    this.traits = traits;
    this.gasC = roomC;
    this.manifoldC = roomC;
    this.ratedFuelW = (traits.ratedKw * 1000 * (1 + traits.frictionPart)) / traits.indicatedEfficiency;
    this.ratedAirKgPerS = (this.ratedFuelW / dieselJPerKg) * traits.airFuelRatio;
    this.ratedGasKgPerS = this.ratedAirKgPerS * (1 + 1 / traits.airFuelRatio);
  }

  /** `load`: what propeller or generator asks at rated speed, of rated power. `injectorK`: gas hotter than it should be. */
  step(dtS: number, throttle: number, load: number, blockC: number, airC: number, injectorK: number): void {
    const { traits } = this;
    const cold = coldFriction * Math.max(0, Math.min(1, (warmC - blockC) / 65));
    this.crankedS = throttle > 0 ? this.crankedS + dtS : 0;
    this.running = this.crankedS > traits.crankS * (1 + cold);
    if (!this.running) {
      this.coast(dtS, airC);
      return;
    }
    this.sinceStartS += dtS;
    const asked = this.turn(dtS, throttle, load);
    const ratedW = traits.ratedKw * 1000;
    const alternatorKw = traits.alternatorKw / (1 + this.sinceStartS / traits.alternatorS);
    const charging = alternatorKw * 1000 * Math.min(1, this.speedPart / 0.4);
    this.brakeW = asked * ratedW + charging + dragPart * ratedW * this.speedPart * this.speedPart;
    const friction = traits.frictionPart * this.speedPart ** 1.6 * (1 + cold);
    this.fuelW = (this.brakeW + friction * ratedW) / traits.indicatedEfficiency;
    const fuelPart = Math.min(1, this.fuelW / this.ratedFuelW);
    this.boostPart = lagged(this.boostPart, fuelPart, dtS, spoolS);
    const breath = (1 + traits.boost * this.boostPart) / (1 + traits.boost);
    const airKgPerS = this.ratedAirKgPerS * this.speedPart * breath * (298 / (273 + airC));
    const fuelKgPerS = this.fuelW / dieselJPerKg;
    this.gasKgPerS = airKgPerS + fuelKgPerS;
    this.gasHumidity = airHumidity + (waterPerFuel * fuelKgPerS) / airKgPerS;
    this.coolantW = this.fuelW * (traits.coolantShare + traits.coolantShareMoreAtIdle * (1 - fuelPart));
    this.radiatedW = this.fuelW * traits.radiatedShare;
    this.aftercoolerW = traits.aftercoolerShare * this.fuelW * this.boostPart;
    this.leaveThroughManifold(dtS, airC, injectorK);
  }

  /** Moves the speed to where governor and load leave it; gives the power that is asked there, of rated power. */
  private turn(dtS: number, throttle: number, load: number): number {
    const { governed, idlePart, governorS, powerExponent, propellerExponent } = this.traits;
    if (governed) {
      this.speedPart = lagged(this.speedPart, 1.03 - 0.04 * Math.min(1, load), dtS, governorS);
      return Math.min(setLimit, load) * Math.min(1, this.speedPart);
    }
    let set = idlePart + ((1 - idlePart) * Math.max(0, throttle - 0.05)) / 0.95;
    // Where load ^ propeller curve and the full-load curve cross; the lever cannot ask for more.
    if (load > 1) set = Math.min(set, load ** (-1 / (propellerExponent - powerExponent)));
    this.speedPart = lagged(this.speedPart, set, dtS, governorS);
    const most = this.speedPart ** powerExponent;
    return Math.min(most, load * this.speedPart ** propellerExponent);
  }

  /** First law: what is neither work, coolant, aftercooler nor radiation leaves as hot gas, past metal that stores heat. */
  private leaveThroughManifold(dtS: number, airC: number, injectorK: number): void {
    const { manifoldNtu, manifoldJPerK, manifoldLossWPerK } = this.traits;
    const gasWPerK = this.gasKgPerS * exhaustJPerKgK;
    const leftW = this.fuelW - this.brakeW - this.coolantW - this.radiatedW - this.aftercoolerW;
    const portC = airC + leftW / gasWPerK + injectorK;
    const reach = manifoldNtu / (1 + manifoldNtu);
    const toMetal = gasWPerK * reach;
    const sum = toMetal + manifoldLossWPerK;
    const metalC = (toMetal * portC + manifoldLossWPerK * airC) / sum;
    this.manifoldC = lagged(this.manifoldC, metalC, dtS, manifoldJPerK / sum);
    this.gasC = lagged(this.gasC, portC + (this.manifoldC - portC) * reach, dtS, 0.5);
  }

  private coast(dtS: number, airC: number): void {
    this.sinceStartS = 0;
    this.speedPart = lagged(this.speedPart, 0, dtS, coastS);
    if (this.speedPart < 0.01) this.speedPart = 0;
    this.boostPart = lagged(this.boostPart, 0, dtS, spoolS);
    this.brakeW = 0;
    this.fuelW = 0;
    this.coolantW = 0;
    this.radiatedW = 0;
    this.aftercoolerW = 0;
    // Without fuel it pumps air for a turn or two.
    this.gasKgPerS = this.speedPart > 0.05 ? this.ratedAirKgPerS * this.speedPart * 0.5 : 0;
    this.gasC = lagged(this.gasC, this.manifoldC, dtS, stillGasS);
    this.manifoldC -=
      (dtS * this.traits.manifoldLossWPerK * (this.manifoldC - airC)) / this.traits.manifoldJPerK;
  }
}
