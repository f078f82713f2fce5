import type { Ailments } from '../../../node/bench/plant/ailments.js';
import type { Around } from './day-at-sea.js';
import type { Streams } from './laws.js';
import {
  alongWallKwPerK,
  counterflowKwPerK,
  fuelKjPerKg,
  gasCp,
  gasFilmKwPerM2K,
  pumpedKgPerS,
  seaCp,
} from './laws.js';
import { Probes } from './probes.js';
import type { Traits } from './traits.js';
import { WetExhaust } from './wet-exhaust.js';

const { exp, max, min, PI } = Math;
const clamp = (value: number, low = 0, high = 1) => min(high, max(low, value));

/** One engine as balances of heat and mass between few lumps; steps of 0.2 s at most. Temperatures in C, powers in kW. */
export class HeatEngine {
  readonly ailments: Ailments = {
    ...{ intake: 1, strainer: 1, impeller: 1, exchanger: 1, load: 1 },
    ...{ injectorK: 0, fallenProbe: false },
  };
  readonly traits: Traits;
  readonly exhaust: WetExhaust;
  readonly probes: Probes;
  throttle = 0;
  speed = 0;
  torque = 0;
  fuelKw = 0;
  brakeKw = 0;
  roomKw = 0;
  airKgPerS = 0;
  gasKgPerS = 0;
  waterKgPerS = 0;
  pumpKpa = 0;
  opening = 0;
  /** Gas at the end of the dry riser, and the water behind the cooler. */
  gasC: number;
  rawC: number;
  coolantC: number;
  tankC: number;
  riserC: number;
  private waxC: number;
  private charge = 0;

  constructor(traits: Traits, start: { readonly seaC: number; readonly roomC: number }) {
    this.traits = traits;
    this.exhaust = new WetExhaust(traits, start);
    this.probes = new Probes(traits, start.roomC);
    this.rawC = start.seaC;
    this.gasC = this.coolantC = this.waxC = this.tankC = this.riserC = start.roomC;
  }

  get rpm(): number {
    return this.speed * this.traits.ratedRpm;
  }

  get hoseC(): number {
    return this.exhaust.hoseC;
  }

  get streams(): Streams {
    const { gasKgPerS, gasC, waterKgPerS, rawC } = this;
    return { gasKgPerS, gasC, waterKgPerS, waterC: rawC };
  }

  /** Raw water that flows, of what this speed would bring with nothing in its way; 0 when stopped. */
  get flowPart(): number {
    return this.speed > 0 ? this.waterKgPerS / max(1e-9, this.pumped(1, 1, 1)) : 0;
  }

  step(dtS: number, around: Around): void {
    this.turn(dtS, around);
    const intoCoolantKw = this.burn(dtS, around);
    this.bringWater(dtS, around);
    this.cool(dtS, intoCoolantKw, around);
    this.roomKw += this.exhaust.step(dtS, this.streams, this.riserC, around.roomC);
    const { exhaust, streams, riserC, ailments } = this;
    this.probes.step(dtS, { exhaust, streams, riserC, fallen: ailments.fallenProbe }, around.roomC);
  }

  /** A governor up to the smoke limit against propeller and generator; out of gear next to idle. */
  private turn(dtS: number, { load, generatorKw, hand }: Around): void {
    const { traits: t, speed: n } = this;
    const lever = clamp(this.throttle + hand, 0.05);
    const runs = this.throttle > 0;
    const hull = lever > 0.1 ? t.propellerTorque * this.ailments.load * load * n ** t.propellerPower : 0;
    const asked = hull + (runs ? (generatorKw * min(1, 2 * n)) / (t.ratedKw * max(0.1, n)) : 0);
    const wanted = t.idle + ((1 - t.idle) * (lever - 0.05)) / 0.95;
    this.torque = runs ? clamp(asked + 3 * (wanted - n), 0, 1 + t.torqueRise * (1 - n)) : 0;
    this.speed = max(0, n + dtS * (this.torque - asked - (runs ? 0 : 0.4)));
    this.brakeKw = t.ratedKw * this.torque * n;
  }

  /**
   * Fuel for work and friction, air for each turn; the gas has what neither work nor walls take. Friction is Heywood's motoring
   * pressure, 75 + 48 (rpm / 1000) + 0.4 (piston speed)^2 kPa. Gives the heat that goes into the coolant.
   */
  private burn(dtS: number, { roomC, surgeKpa }: Around): number {
    const t = this.traits;
    const filledM3PerS = t.displacementM3 * (this.rpm / 120);
    const frictionKpa = 75 + 0.048 * this.rpm + 0.4 * (t.pistonMPerS * this.speed) ** 2;
    const frictionKw = (frictionKpa + surgeKpa) * filledM3PerS;
    this.fuelKw = this.throttle > 0 ? (this.brakeKw + frictionKw) / t.indicated : 0;
    this.charge += (this.torque * this.speed - this.charge) * (dtS / 1.5);
    const airKgPerM3 = (353 / (273 + roomC)) * t.filling * (1 + t.boost * this.charge);
    this.airKgPerS = airKgPerM3 * filledM3PerS * (1 - 0.003 * surgeKpa);
    this.gasKgPerS = this.airKgPerS + this.fuelKw / fuelKjPerKg;
    const wallKw = this.fuelKw > 0 ? t.wallShare * this.fuelKw + frictionKw : 0;
    this.roomKw = t.roomShare * this.fuelKw;
    const stream = this.gasKgPerS * gasCp;
    if (stream < 1e-6) {
      this.gasC = this.warmRiser(dtS, 0, this.riserC, roomC);
      return 0;
    }
    const gasKw = this.fuelKw - this.brakeKw - wallKw - this.roomKw;
    const portC = roomC + gasKw / stream + (this.fuelKw > 0 ? this.ailments.injectorK : 0);
    const jacketKw = stream * (1 - exp(-t.jacketNtu)) * (portC - this.coolantC);
    this.gasC = this.warmRiser(dtS, stream, portC - jacketKw / stream, roomC);
    return wallKw + jacketKw;
  }

  /** Gives the temperature of the gas at the riser's end. */
  private warmRiser(dtS: number, stream: number, enteringC: number, roomC: number): number {
    const t = this.traits;
    const filmKwPerK = gasFilmKwPerM2K(this.gasKgPerS, t.boreM) * PI * t.boreM * t.riserM;
    const takenKw = alongWallKwPerK(stream, filmKwPerK) * (enteringC - this.riserC);
    const airKw = (t.riserKjPerK / t.riserTauS) * (this.riserC - roomC);
    const flangeKw = t.flangeKwPerK * (this.riserC - this.exhaust.elbowC);
    this.roomKw += airKw;
    this.riserC += (dtS / t.riserKjPerK) * (takenKw - airKw - flangeKw);
    return stream > 0 ? enteringC - takenKw / stream : this.riserC;
  }

  private pumped(impeller: number, exchanger: number, open: number): number {
    const t = this.traits;
    return pumpedKgPerS({
      swept: t.sweptKgPerS * this.speed * impeller,
      slip: (t.sweptKgPerS * t.slipAt100Kpa) / 100,
      standingKpa: t.standingKpa,
      behind: t.circuitKpa / (t.sweptKgPerS * exchanger) ** 2,
      before: t.suctionKpa / (t.sweptKgPerS * open) ** 2,
      deepestKpa: t.deepestKpa,
    });
  }

  private bringWater(dtS: number, { open, air }: Around): void {
    const { intake, strainer, impeller } = this.ailments;
    const { sweptKgPerS, circuitKpa, standingKpa, lineTauS } = this.traits;
    const clear = max(0.2, this.ailments.exchanger);
    const wanted = this.pumped(impeller, clear, max(0.01, strainer * open)) * intake * (1 - air);
    this.waterKgPerS += (wanted - this.waterKgPerS) * (1 - exp(-dtS / lineTauS));
    if (this.waterKgPerS < 1e-5) this.waterKgPerS = 0;
    const part = this.waterKgPerS / sweptKgPerS;
    this.pumpKpa = standingKpa * min(1, 20 * part) + circuitKpa * (part / clear) ** 2;
  }

  /** Wax that follows late and with play, the counterflow cooler, the water heater; what boils is lost as steam. */
  private cool(dtS: number, intoKw: number, { seaC, roomC }: Around): void {
    const { traits: t, coolantC, waterKgPerS } = this;
    this.waxC += (coolantC - this.waxC) * (dtS / t.thermostatTauS);
    const stroke = (apartK: number) => clamp((this.waxC - t.thermostatC + apartK) / t.thermostatRangeK);
    this.opening = clamp(this.opening, stroke(-t.thermostatPlayK / 2), stroke(t.thermostatPlayK / 2));
    const hot = t.coolantKwPerK * this.speed * max(t.thermostatLeaks, this.opening);
    const cold = waterKgPerS * seaCp;
    const ua = t.coolerKwPerK * this.ailments.exchanger * (waterKgPerS / t.sweptKgPerS) ** 0.4;
    // Standing water soaks up warmth; from memory.
    const soakKw = cold > 0 ? 0 : 0.01 * t.coolerKwPerK * (coolantC - this.rawC);
    const cooledKw = counterflowKwPerK(hot, cold, ua) * (coolantC - seaC) + soakKw;
    const tankKw = t.tank && this.speed > 0 ? t.tank.kwPerK * (coolantC - this.tankC) : 0;
    if (t.tank) this.tankC += (dtS * tankKw) / t.tank.kjPerK;
    const airKw = t.blockKwPerK * (coolantC - roomC);
    this.roomKw += airKw;
    this.coolantC = min(118, coolantC + (dtS / t.blockKjPerK) * (intoKw - cooledKw - tankKw - airKw));
    // Exact for the held water at any flow.
    const heldKjPerK = t.rawHeldKg * seaCp;
    const settlesC = seaC + cooledKw / max(1e-9, cold);
    const left = exp((-dtS * cold) / heldKjPerK);
    const warmedC = this.rawC + (dtS * cooledKw) / heldKjPerK;
    this.rawC = min(100, cold > 0 ? settlesC + (this.rawC - settlesC) * left : warmedC);
  }
}
