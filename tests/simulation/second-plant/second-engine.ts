import { healthy } from '../../../node/bench/plant/ailments.js';
import { ProbeElement } from '../../../node/bench/plant/probe-element.js';
import { ElbowRow } from './elbow-row.js';
import { pumpMeetsCircuit } from './raw-water.js';
import type { Structure } from './structure.js';
import type { Traits } from './traits.js';

const idleSpeed = 0.24;
const gasCp = 1.1;
const waterCp = 3.99;

/** What the sea does to one engine at this moment. */
export type Surroundings = {
  readonly seaC: number;
  readonly roomC: number;
  readonly load: number;
  readonly open: number;
  readonly air: number;
};

/** One engine of the second and third plant, by heat released and not by fitted curves. Steps of 0.25 s at most. */
export class SecondEngine {
  readonly ailments = healthy();
  throttle = 0;
  speed = 0;
  flow = 0;
  pumpKpa = 0;
  /** Heat given to the engine-room air, kW. */
  roomKw = 0;
  readonly traits: Traits;
  readonly elbow: ElbowRow;
  private gasKgPerS = 0;
  private gasC: number;
  private turbineC: number;
  private riserC: number;
  private coolantC: number;
  private waxC: number;
  private opening = 0;
  private rawC: number;
  private readonly pad: ProbeElement;
  readonly bead: ProbeElement;
  readonly well: ProbeElement;
  readonly gasProbe: ProbeElement;

  private readonly structure: Structure;

  constructor(
    traits: Traits,
    structure: Structure,
    start: { readonly seaC: number; readonly roomC: number },
  ) {
    this.traits = traits;
    this.structure = structure;
    this.elbow = new ElbowRow(traits, structure, start);
    const { seaC, roomC } = start;
    this.gasC = this.turbineC = this.riserC = this.coolantC = this.waxC = roomC;
    this.rawC = seaC;
    this.pad = new ProbeElement(roomC);
    this.bead = new ProbeElement(roomC);
    this.well = new ProbeElement(roomC);
    this.gasProbe = new ProbeElement(roomC);
  }

  get running(): boolean {
    return this.throttle > 0;
  }

  get hoseC(): number {
    return this.elbow.hoseC;
  }

  /** Raw water that flows, of what this speed would bring with nothing in its way; 0 when stopped. */
  get flowPart(): number {
    return this.speed > 0 ? this.flow / (this.traits.ratedFlow * this.speed) : 0;
  }

  get rpm(): number {
    return this.speed * this.traits.ratedRpm;
  }

  step(dtS: number, around: Surroundings): void {
    const fuelKw = this.burn(dtS, around);
    this.pumpWater(dtS, around);
    this.cool(dtS, fuelKw, around);
    const { seaC, roomC } = around;
    this.elbow.step(
      dtS,
      {
        gasKgPerS: this.gasKgPerS,
        gasC: this.gasKgPerS > 1e-3 ? this.riserGasC : this.riserC,
        waterKgPerS: this.flow,
        waterC: this.flow > 1e-3 ? this.rawC : seaC,
      },
      this.riserC,
      roomC,
    );
    this.feel(dtS, roomC);
  }

  /** Gas behind the turbine after the riser has taken its share. */
  private get riserGasC(): number {
    return this.gasC - 0.12 * (this.gasC - this.riserC);
  }

  /** Speed follows the throttle, torque the propeller; heat not turned into work leaves as gas, coolant and radiation. */
  private burn(dtS: number, { roomC, load }: Surroundings): number {
    const { ratedKw, propeller, exhaustShare } = this.traits;
    const wanted = this.running
      ? idleSpeed + (1 - idleSpeed) * Math.max(0, (this.throttle - 0.05) / 0.95) ** 0.9
      : 0;
    const perS = (wanted - this.speed) / (wanted > this.speed ? 3.2 : 1.2);
    this.speed = Math.max(0, this.speed + perS * dtS);
    if (!this.running && this.speed < 0.01) this.speed = 0;
    const n = this.speed;
    const torque = propeller * this.ailments.load * load * n ** this.structure.propellerPower;
    const workKw = ratedKw * n * Math.max(0.015, torque + 0.9 * Math.max(0, perS));
    const burnt = this.running ? 1 : 0;
    const efficiency = 0.4 * (1 - Math.exp(-4.5 * (torque + 0.06)));
    const fuelKw = burnt * (workKw / Math.max(0.08, efficiency) + 0.05 * ratedKw * n);
    // Displacement takes in air with the speed, the turbocharger more of it with the torque.
    const { breathes, charged } = this.structure;
    const air = 0.00095 * ratedKw * n * (breathes + charged * Math.min(1.2, torque));
    this.gasKgPerS += (burnt * air + fuelKw / 42_700 - this.gasKgPerS) * (dtS / 1.1);
    const inletC = 25 + 0.4 * (roomC - 25);
    const coldK = 30 * Math.min(1, Math.max(0, (65 - this.coolantC) / 50));
    const risenK = this.gasKgPerS > 1e-3 ? (exhaustShare * fuelKw) / (this.gasKgPerS * gasCp) : 0;
    const madeC = inletC + 45 + risenK - coldK + this.ailments.injectorK;
    this.gasC = this.gasKgPerS > 1e-3 ? madeC - 0.2 * (madeC - this.turbineC) : this.turbineC;
    this.warmMetal(dtS, madeC, roomC);
    return fuelKw;
  }

  /** Turbine housing and riser: hot metal in a row, that goes on warming what is behind it after a stop. */
  private warmMetal(dtS: number, madeC: number, roomC: number): void {
    const { ratedKw, metalKjPerK, metalCoolingMin } = this.traits;
    const capacity = metalKjPerK * ratedKw;
    const lossKwPerK = capacity / (60 * metalCoolingMin);
    const film = this.gasKgPerS > 1e-3 ? 0.00045 * ratedKw * (this.gasKgPerS / (0.0016 * ratedKw)) ** 0.8 : 0;
    const between = 0.8 * lossKwPerK;
    const crept = between * (this.turbineC - this.riserC);
    const turbineKw = film * (madeC - this.turbineC) - crept - 0.6 * lossKwPerK * (this.turbineC - roomC);
    const riserKw = 0.7 * film * (this.gasC - this.riserC) + crept - 1.3 * lossKwPerK * (this.riserC - roomC);
    this.turbineC += (turbineKw * dtS) / capacity;
    this.riserC += (riserKw * dtS) / (0.7 * capacity);
  }

  private pumpWater(dtS: number, { open, air }: Surroundings): void {
    const { intake, strainer, impeller, exchanger } = this.ailments;
    // A bag or a closed seacock lets a part through; weed and strainer narrow what it leaves.
    const narrowed = open * (0.15 + 0.85 * strainer);
    const met = pumpMeetsCircuit(this.traits, this.speed, { intake: narrowed, impeller, exchanger, air });
    const wanted = met.flow * intake * Math.min(1, strainer / 0.15);
    this.flow += (wanted - this.flow) * (dtS / 1.8);
    if (this.flow < 1e-5) this.flow = 0;
    const part = met.flow > 0 ? Math.min(1, this.flow / met.flow) : 0;
    this.pumpKpa = met.kpa * part * part;
  }

  /** Coolant, a thermostat that follows late and sticks, so that it hunts, and the exchanger by its effectiveness. */
  private cool(dtS: number, fuelKw: number, { seaC, roomC }: Surroundings): void {
    const { ratedKw, thermostatC, waxTauS, waxSticksK } = this.traits;
    this.waxC += (this.coolantC - this.waxC) * (dtS / waxTauS);
    const { thermostat, thermostatLeaks, heldKgPerKw } = this.structure;
    const openAt = (warmC: number) => Math.min(1, Math.max(0, (warmC - thermostatC) / 9));
    if (thermostat === 'sticks') {
      const asked = openAt(this.waxC);
      if (Math.abs(asked - this.opening) > waxSticksK / 9) this.opening += (asked - this.opening) * (dtS / 3);
    } else {
      // Opens along the line of a wax that is colder, closes along that of one that is warmer, and rests in between.
      const [least, most] = [openAt(this.waxC - waxSticksK), openAt(this.waxC + waxSticksK)];
      this.opening = Math.min(most, Math.max(least, this.opening));
    }
    const waterKwPerK = this.flow * waterCp;
    const conductance = 0.02 * ratedKw * this.ailments.exchanger * Math.max(thermostatLeaks, this.opening);
    const effectiveness = waterKwPerK > 1e-3 ? 1 - Math.exp(-conductance / waterKwPerK) : 0;
    const movedKw = effectiveness * waterKwPerK * (this.coolantC - seaC);
    const intoCoolantKw = 0.24 * fuelKw;
    this.coolantC +=
      ((intoCoolantKw - movedKw - 0.00008 * ratedKw * (this.coolantC - roomC)) * dtS) / (1.5 * ratedKw);
    this.coolantC = Math.min(125, this.coolantC);
    const oilKw = 0.09 * fuelKw;
    // The exchanger holds water of its own. While stopped it soaks up the coolant's warmth, and leaves as a slug at a start.
    const heldKjPerK = heldKgPerKw * ratedKw * waterCp;
    const soakKw = this.flow > 0 ? 0 : 0.05 * conductance * (this.coolantC - this.rawC);
    const rawKw = movedKw + oilKw + soakKw - waterKwPerK * (this.rawC - seaC);
    this.rawC = Math.min(100, this.rawC + (rawKw * dtS) / heldKjPerK);
    this.roomKw =
      0.025 * fuelKw + 0.0001 * ratedKw * (this.coolantC - roomC) + 0.0004 * ratedKw * 0.01 * this.riserC;
  }

  private feel(dtS: number, roomC: number): void {
    const { probes } = this.traits;
    const { elbow } = this;
    const flows = this.gasKgPerS > 0.00004 * this.traits.ratedKw;
    const leak = this.ailments.fallenProbe ? 1 : probes.roomLeak;
    const wallC = elbow.wallC[probes.node] as number;
    this.pad.follow(wallC + leak * (roomC - wallC), probes.padTauS, dtS);
    this.bead.follow(this.pad.temperatureC, probes.beadTauS, dtS);
    const wet = elbow.wetted[probes.node] as number;
    const streamC = flows
      ? wet * (elbow.waterC[probes.node] as number) + (1 - wet) * (elbow.gasC[probes.node] as number)
      : wallC;
    const wellTauS = flows ? 1 / (wet / probes.wellWetTauS + (1 - wet) / probes.wellDryTauS) : 60;
    if (this.ailments.fallenProbe) this.well.follow(roomC, 60, dtS);
    else this.well.follow(streamC + probes.stemLeak * (wallC - streamC), wellTauS, dtS);
    const gas = flows ? this.riserGasC + probes.gasStemLeak * (this.riserC - this.riserGasC) : this.riserC;
    this.gasProbe.follow(gas, flows ? probes.gasTauS : probes.gasStillTauS, dtS);
  }
}
