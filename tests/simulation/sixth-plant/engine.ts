import type { Ailments } from '../../../node/bench/plant/ailments.js';
import { clamp, relax } from './relax.js';
import type { EngineTraits } from './traits.js';

/** Lower heat of diesel fuel, J/kg; mean specific heat of air and lean exhaust gas, J/(kg K). From memory. */
export const fuelJPerKg = 42.7e6;
export const gasJPerKgK = 1080;
const kelvin = 273.15;
/** Volumetric efficiency; what indicated efficiency loses at full load for want of air. Common practice, no source. */
const breathes = 0.86;
const richLoss = 0.14;

/** What this engine does at rated speed and power; everything else is scaled from it. */
function rate(t: EngineTraits) {
  const friction = frictionKpa(t, 1);
  const workPart = (1 - richLoss) * t.bestIndicated;
  // Natural: the air sets the fuel and so the pressure. Turbocharged: the pressure sets the air.
  const imepKpa = t.isTurbo
    ? t.turboBmepKpa + friction
    : ((airKgPerM3(1, 40) / t.airPerFuel) * fuelJPerKg * workPart) / 1000;
  const bmepKpa = imepKpa - friction;
  const sweptM3PerS = t.powerKw / bmepKpa;
  const fuelKgPerS = (imepKpa * 1000 * sweptM3PerS) / (fuelJPerKg * workPart);
  const airKgPerS = fuelKgPerS * t.airPerFuel;
  const boost = t.isTurbo
    ? Math.max(1.2, airKgPerS / sweptM3PerS / airKgPerM3(1, t.chargeIsCooled ? 65 : 130))
    : 1;
  // To the coolant: the wall, friction, and what the jacket takes of the gas.
  const jacketPart = 0.85 * (1 - workPart - t.wallShare) * (1 - Math.exp(-t.jacketNtu));
  const coolantPart = t.wallShare + (workPart * friction) / imepKpa + jacketPart;
  const gasKgPerS = airKgPerS + fuelKgPerS;
  return { imepKpa, bmepKpa, sweptM3PerS, fuelKgPerS, gasKgPerS, boost, coolantPart };
}

const airKgPerM3 = (boost: number, intakeC: number): number =>
  (breathes * boost * 101_325) / (287 * (intakeC + kelvin));

/** Millington and Hartles, as in Heywood's textbook, from memory: constant + 48 N/1000 + 0.4 (piston speed)^2, kPa. */
const frictionKpa = (t: EngineTraits, speed: number): number =>
  t.stillFrictionKpa + 48e-3 * t.ratedRpm * speed + 0.4 * (t.pistonMPerS * speed) ** 2;

/** A diesel with its governor: torque from fuel, and where the heat of the fuel goes. Speed 1 is rated speed. */
export class Engine {
  readonly rated: ReturnType<typeof rate>;
  throttle = 0;
  speed = 0;
  boost = 1;
  fuelW = 0;
  brakeW = 0;
  gasKgPerS = 0;
  /** Gas where it leaves the manifold, before the riser, C. */
  gasC = 20;
  coolantW = 0;
  chargeCoolerW = 0;
  private readonly traits: EngineTraits;
  private readonly wallWPerK: number;

  constructor(traits: EngineTraits) {
    this.traits = traits;
    this.rated = rate(traits);
    const { fuelKgPerS, boost, imepKpa } = this.rated;
    this.wallWPerK = (traits.wallShare * fuelKgPerS * fuelJPerKg) / this.wallDrive(1, boost, imepKpa, 1, 80);
  }

  get isRunning(): boolean {
    return this.speed > 0.5 * this.idleSpeed && this.throttle > 0;
  }
  get idleSpeed(): number {
    return this.traits.idleRpm / this.traits.ratedRpm;
  }

  /** `torqueOf`: what the load takes at a speed, of rated torque; `demand`: governed speed at full load. */
  step(
    dtS: number,
    demand: number,
    torqueOf: (speed: number) => number,
    { roomC, coolantC, seaC }: { roomC: number; coolantC: number; seaC: number },
    { injectorK }: Pick<Ailments, 'injectorK'>,
  ): void {
    const { traits: t, rated } = this;
    const { indicated, drag } = this.turn(dtS, demand, torqueOf, coolantC, injectorK);
    const indicatedW = indicated * this.speed * t.powerKw * 1000;
    const lateW = this.lateW(injectorK, indicatedW);
    const imepKpa = indicated * rated.bmepKpa;
    this.fuelW = indicatedW / (t.bestIndicated * (1 - richLoss * (imepKpa / rated.imepKpa) ** 2));
    const fuelPart = this.fuelW / (rated.fuelKgPerS * fuelJPerKg);
    this.boost = relax(this.boost, 1 + (rated.boost - 1) * fuelPart ** 0.9, dtS, 1.5);
    // Isentropic compression over an efficiency of 0.68; the turbine gives this work, so the gas leaves so much colder.
    const chargeC = roomC + ((roomC + kelvin) * (this.boost ** 0.286 - 1)) / 0.68;
    const intakeC = t.chargeIsCooled ? chargeC - 0.75 * Math.max(0, chargeC - seaC) : chargeC;
    const airKgPerS = airKgPerM3(this.boost, intakeC) * rated.sweptM3PerS * this.speed;
    this.gasKgPerS = airKgPerS + this.fuelW / fuelJPerKg;
    if (this.speed < 0.02) {
      this.fuelW = this.coolantW = this.chargeCoolerW = this.gasKgPerS = 0;
      return;
    }
    const flowWPerK = this.gasKgPerS * gasJPerKgK;
    this.chargeCoolerW = flowWPerK * (chargeC - intakeC);
    const burntW = this.fuelW - indicatedW;
    const rich = (this.fuelW / fuelJPerKg / airKgPerS) * t.airPerFuel;
    const wallW = Math.min(
      0.65 * burntW,
      this.wallWPerK * this.wallDrive(this.speed, this.boost, imepKpa, rich, coolantC),
    );
    const turbineW = flowWPerK * (chargeC - roomC);
    const leavesC = intakeC + (burntW - wallW + lateW - turbineW) / flowWPerK;
    const ntu = t.jacketNtu * (rated.gasKgPerS / this.gasKgPerS) ** 0.2;
    this.gasC = coolantC + (leavesC - coolantC) * Math.exp(-ntu);
    const frictionW = drag * this.speed * t.powerKw * 1000;
    this.coolantW = wallW + frictionW + flowWPerK * (leavesC - this.gasC);
  }

  /** Shaft speed from the torques on it, and the torque of gas and of friction, of rated torque, as the step ends. */
  private turn(
    dtS: number,
    demand: number,
    torqueOf: (speed: number) => number,
    coolantC: number,
    injectorK: number,
  ): { indicated: number; drag: number } {
    const { traits: t, rated } = this;
    const parts = 4;
    let [indicated, drag] = [0, 0];
    // Cold oil: half as much friction again near freezing (common practice, no source).
    const coldPart = 1 + 0.6 * Math.exp(-Math.max(0, coolantC) / 35);
    for (let part = 0; part < parts; part++) {
      drag = this.speed > 0 ? (frictionKpa(t, this.speed) * coldPart) / rated.bmepKpa : 0;
      const slow = 1 - this.speed;
      const smoke = t.isTurbo ? 0.7 + (0.3 * this.boost) / rated.boost : 1;
      const fullTorque = Math.max(0.2, smoke * (1 + 0.35 * slow - 0.75 * slow ** 2));
      const rack = this.throttle > 0 ? clamp((demand + t.droop - this.speed) / t.droop, 0, 1) : 0;
      indicated = this.speed > 0.06 ? rack * (fullTorque + drag) : 0;
      const load = this.speed > 0 ? torqueOf(this.speed) : 0;
      const powerW = Math.max(1, this.speed * t.powerKw * 1000);
      const late = this.lateW(injectorK, indicated * powerW) / powerW;
      const starter = this.throttle > 0 && !this.isRunning ? drag + 0.15 : 0;
      // Semi-implicit: the governor is quicker than a step.
      const stiff = (rack > 0 && rack < 1 ? 1 / t.droop : 0) + (2 * load) / Math.max(0.05, this.speed);
      const net = indicated + starter - drag - load - late;
      this.speed = Math.max(0, this.speed + ((dtS / parts) * net) / (t.spinUpS + (dtS / parts) * stiff));
      this.brakeW = load * powerW;
    }
    if (this.throttle === 0 && this.speed < 0.05) this.speed = 0;
    return { indicated, drag };
  }

  /** Fuel that burns late makes gas instead of work: so many kelvin at seven tenths of full fuel, W. */
  private lateW(injectorK: number, indicatedW: number): number {
    const part = clamp(this.fuelW / (0.7 * this.rated.fuelKgPerS * fuelJPerKg), 0, 1.2);
    return Math.min(0.3 * indicatedW, injectorK * part * this.gasKgPerS * gasJPerKgK);
  }

  /** Woschni's exponents (pressure and piston speed to 0.8, from memory) times mean gas above wall, no unit. */
  private wallDrive(speed: number, boost: number, imepKpa: number, rich: number, coolantC: number): number {
    return speed ** 0.8 * (boost + imepKpa / 250) ** 0.8 * Math.max(0, 250 + 900 * rich - coolantC);
  }
}
