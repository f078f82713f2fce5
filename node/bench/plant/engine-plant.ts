import { healthy } from './ailments.js';
import type { EngineTraits } from './engine-traits.js';
import { noHeat } from './heat-flows.js';
import { gasCp, mixtureC, seaWaterCp } from './mixing.js';
import { ProbeElement } from './probe-element.js';
import { pumpPressureKpa } from './pump-pressure.js';

const { exp, max, min, sqrt } = Math;
const idleSpeed = 0.26;
/** Steel and bronze alike, MJ/(m3 K); handbook value, rounded. */
const wallHeatMjPerM3K = 3.9;
const hoseKjPerM2K = 7.5;

/** What surrounds an engine during one step. */
export type Surroundings = { readonly seaC: number; readonly roomC: number };

/** One engine from fuel to wet hose. Steps of up to 0.25 s; heat is only moved between nodes, never made or lost. */
export class EnginePlant {
  readonly traits: EngineTraits;
  readonly ailments = healthy();
  throttle = 0;
  /** Momentary load of a seaway on the propeller and of air at the intake; set by the sea. */
  seawayLoad = 1;
  seawayFlow = 1;

  speed = 0;
  torque = 0;
  flow = 0;
  gasKgPerS = 0;
  gasC: number;
  beforeTurboC: number;
  rawC: number;
  coolantC: number;
  manifoldC: number;
  wallC: number;
  /** Mean of the hose wall just behind the elbow. */
  hoseC: number;
  mixC: number;
  filmC: number;
  localGasC: number;
  wetted = 0;
  private thermostat = 0;
  /** The coolant gauge's own sender, 8 s behind. */
  readonly coolantSender: ProbeElement;
  readonly ring: ProbeElement;
  readonly well: ProbeElement;
  readonly afterTurbo: ProbeElement;
  readonly beforeTurbo: ProbeElement;
  readonly heat = noHeat();

  constructor(traits: EngineTraits, startC: { readonly seaC: number; readonly roomC: number }) {
    this.traits = traits;
    const { seaC, roomC } = startC;
    this.gasC = this.beforeTurboC = this.coolantC = this.manifoldC = this.wallC = this.hoseC = roomC;
    this.rawC = this.filmC = seaC;
    this.mixC = this.localGasC = roomC;
    this.coolantSender = new ProbeElement(roomC);
    this.ring = new ProbeElement(roomC);
    this.well = new ProbeElement(roomC);
    this.afterTurbo = new ProbeElement(roomC);
    this.beforeTurbo = new ProbeElement(roomC);
  }

  get running(): boolean {
    return this.throttle > 0;
  }

  /** Raw water that really passes, kg/s. */
  get waterKgPerS(): number {
    return 4.15 * this.traits.size * this.traits.flowFactor * this.speed * this.flow;
  }

  /** Raw water that flows, of what this speed would bring with nothing in its way; 0 when stopped. */
  get flowPart(): number {
    return this.speed > 0 ? this.flow : 0;
  }

  /** Crankshaft speed, 1/min. */
  get rpm(): number {
    return this.speed * this.traits.ratedRpm;
  }

  /** Gauge pressure behind the raw-water pump, kPa. */
  get pumpPressureKpa(): number {
    const { pump, size } = this.traits;
    return pumpPressureKpa(pump, {
      relativeFlow: this.waterKgPerS / (4.15 * size),
      open: this.ailments.exchanger,
      filled: this.running ? Math.min(1, this.flow * 4) : 0,
    });
  }

  /** Heat capacities of the nodes, kJ/K. */
  get capacities() {
    const { size, wallMm, elbowAreaM2 } = this.traits;
    return {
      coolant: 1.3 * 235 * size,
      raw: 40 * size,
      manifold: 6 * size,
      wall: wallMm * elbowAreaM2 * wallHeatMjPerM3K,
      hose: hoseKjPerM2K * elbowAreaM2,
    };
  }

  step(dtS: number, around: Surroundings): void {
    const fuelKw = this.turn(dtS);
    this.breathe(dtS, fuelKw, around);
    this.exchange(dtS, fuelKw, around);
    this.mix(dtS);
    this.warmWalls(dtS, around);
    this.feel(dtS, around);
  }

  /** Speed, torque and water flow follow the throttle; answers the fuel power, kW. */
  private turn(dtS: number): number {
    const { traits, ailments } = this;
    const wanted = !this.running
      ? 0
      : traits.governed
        ? 1
        : idleSpeed + (1 - idleSpeed) * max(0, (this.throttle - 0.05) / 0.95);
    const accelerationPerS = (wanted - this.speed) / (wanted > this.speed ? 2.5 : 1.5);
    this.speed = max(0, this.speed + accelerationPerS * dtS);
    if (!this.running && this.speed < 0.01) this.speed = 0;
    const n = this.speed;
    const hull = traits.hull * ailments.load * this.seawayLoad;
    // A governed engine carries its alternator's load; what it drives idle is a tenth of its torque.
    const asked = traits.governed ? 0.1 + 0.85 * this.throttle * ailments.load : 0.03 + hull * n * n;
    this.torque = this.running ? max(0.02, asked + 1.4 * n * accelerationPerS) : 0;
    const open = ailments.intake * ailments.strainer * ailments.impeller * this.seawayFlow;
    this.flow += (open - this.flow) * (1 - exp(-dtS / traits.flowTauS));
    return 600 * traits.size * (0.1 * n + 0.9 * this.torque * n) * (this.running ? 1 : 0);
  }

  /** Exhaust gas from the cylinders to the elbow, with the manifold that stores and gives back its heat. */
  private breathe(dtS: number, fuelKw: number, { roomC }: Surroundings): void {
    const { size, thermostatC, gasOffsetK } = this.traits;
    const { speed: n, torque: q, heat } = this;
    const wanted = this.running ? size * (0.35 * n * (0.45 + 0.55 * q ** 0.8)) + (0.014 * fuelKw) / 600 : 0;
    this.gasKgPerS += (wanted - this.gasKgPerS) * (1 - exp(-dtS / 1.5));
    const fullGas = 0.364 * size;
    const airC = 20 + 0.5 * (roomC - 20);
    const coldK = 25 * min(1, max(0, (thermostatC - this.coolantC) / 55));
    const burntC =
      airC + 95 + 216 * q ** 0.7 + 380 * max(0, q - 1) - coldK + gasOffsetK + this.ailments.injectorK;
    const stream = this.gasKgPerS * gasCp;
    const film = 0.075 * size * (this.gasKgPerS / fullGas) ** 0.8;
    this.gasC = stream > 1e-4 ? (stream * burntC + film * this.manifoldC) / (stream + film) : this.manifoldC;
    this.beforeTurboC = this.gasC + (this.running ? 111 * (q * n) ** 0.8 : 0);
    heat.gasToManifold = film * (this.gasC - this.manifoldC);
    // Metal of 6 kJ/K that loses 7.5 W/K cools in 13.3 min.
    const cooling = 13.3 / this.traits.metalCoolingMin;
    heat.manifoldToCoolant = 0.006 * size * cooling * (this.manifoldC - this.coolantC);
    heat.manifoldToRoom = 0.0015 * size * cooling * (this.manifoldC - roomC);
    heat.manifoldToWall = 0.001 * this.traits.flangeWPerK * (this.manifoldC - this.wallC);
    heat.fuelToRoom = 0.02 * fuelKw;
    this.manifoldC +=
      (dtS / this.capacities.manifold) *
      (heat.gasToManifold - heat.manifoldToCoolant - heat.manifoldToRoom - heat.manifoldToWall);
  }

  /** Coolant through the exchanger into the raw water, and oil, charge air and gearbox with it. */
  private exchange(dtS: number, fuelKw: number, { seaC, roomC }: Surroundings): void {
    const { size, thermostatC } = this.traits;
    const { heat, capacities } = this;
    const share = this.torque * this.speed;
    const water = this.waterKgPerS;
    const relative = water / (4.15 * size);
    const opening = min(1, max(0, (this.coolantC - thermostatC) / 10));
    this.thermostat += (opening - this.thermostat) * (dtS / 8);
    const conductance =
      3.2 * size * this.ailments.exchanger * max(0.04, 1 / (0.5 + 0.5 / sqrt(max(relative, 1e-6))));
    const meanRawC = water > 1e-3 ? (seaC + this.rawC) / 2 : this.rawC;
    heat.fuelToCoolant = fuelKw * (0.2 + 0.1 * (1 - min(1, share)));
    heat.fuelToRaw = 0.1 * fuelKw;
    heat.coolantToRaw = this.thermostat * conductance * (this.coolantC - meanRawC);
    heat.coolantToRoom = 0.02 * size * (this.coolantC - roomC);
    heat.rawToSea = water * seaWaterCp * (this.rawC - seaC);
    this.coolantC +=
      (dtS / capacities.coolant) *
      (heat.fuelToCoolant + heat.manifoldToCoolant - heat.coolantToRaw - heat.coolantToRoom);
    const intoRaw = heat.coolantToRaw + heat.fuelToRaw - heat.rawToSea;
    const heatedC = this.rawC + (dtS / capacities.raw) * intoRaw;
    heat.rawToSteam = max(0, (heatedC - 100) * capacities.raw) / dtS;
    this.rawC = min(100, heatedC);
  }

  /** Gas and water meet in the elbow: mixture, wetted part of the wall, film on it, gas beside it. */
  private mix(dtS: number): void {
    const water = this.waterKgPerS;
    const gas = this.gasKgPerS;
    const entryC = 0.97 * this.gasC;
    this.mixC = mixtureC({ gasKgPerS: gas, gasC: entryC, waterKgPerS: water, waterC: this.rawC }, this.mixC);
    const ratio = water / (gas + 1e-6);
    this.wetted += (1 - exp(-ratio / 1.8) - this.wetted) * (1 - exp(-dtS / 2));
    this.filmC = this.rawC + (0.38 + 0.62 * exp(-ratio / 3)) * (this.mixC - this.rawC);
    this.localGasC = this.mixC + (entryC - this.mixC) * exp(-ratio / 2.5);
  }

  private warmWalls(dtS: number, { roomC }: Surroundings): void {
    const { size, elbowAreaM2 } = this.traits;
    const { heat, capacities } = this;
    const relativeWater = this.waterKgPerS / (4.15 * size);
    const film = 1.3 * elbowAreaM2 * this.wetted * (0.4 + 0.6 * sqrt(relativeWater));
    const wet = this.waterKgPerS > 1e-3 ? film : 0;
    const gas = 0.14 * elbowAreaM2 * (this.gasKgPerS / (0.364 * size)) ** 0.8 * (1 - this.wetted);
    const air = 0.016 * elbowAreaM2;
    heat.filmToWall = wet * (this.filmC - this.wallC);
    heat.gasToWall = gas * (this.localGasC - this.wallC);
    heat.wallToRoom = air * (this.wallC - roomC);
    heat.filmToHose = wet * (this.filmC - this.hoseC);
    heat.gasToHose = gas * (this.localGasC - this.hoseC);
    heat.hoseToRoom = 0.5 * air * (this.hoseC - roomC);
    this.wallC +=
      (dtS / capacities.wall) * (heat.manifoldToWall + heat.filmToWall + heat.gasToWall - heat.wallToRoom);
    this.hoseC += (dtS / capacities.hose) * (heat.filmToHose + heat.gasToHose - heat.hoseToRoom);
  }

  private feel(dtS: number, { roomC }: Surroundings): void {
    const { traits, wetted, ailments } = this;
    const breathing = this.gasKgPerS > 0.02 * 0.364 * traits.size;
    this.coolantSender.follow(this.coolantC, 8, dtS);
    const leak = ailments.fallenProbe ? 1 : traits.ringLeak;
    this.ring.follow(this.wallC + leak * (roomC - this.wallC), traits.ringTauS, dtS);
    if (ailments.fallenProbe) this.well.follow(roomC, 60, dtS);
    else if (breathing) {
      this.well.follow(this.filmC, traits.wellWetTauS / max(0.001, wetted), dtS);
      this.well.follow(this.localGasC, traits.wellGasTauS / max(0.001, 1 - wetted), dtS);
    } else this.well.follow(this.wallC, 60, dtS);
    const thermocoupleTauS = breathing ? traits.thermocoupleTauS : 120;
    this.afterTurbo.follow(this.gasC, thermocoupleTauS, dtS);
    this.beforeTurbo.follow(this.beforeTurboC, thermocoupleTauS, dtS);
  }
}
