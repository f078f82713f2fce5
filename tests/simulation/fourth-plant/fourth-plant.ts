import { ProbeElement } from '../../../node/bench/plant/probe-element.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import type { TwinId } from '../../../node/bench/plant/twins.js';
import type { Spot, World } from '../../../node/bench/world.js';
import { allEngines, type Engine } from '../../../node/kit/engines.js';
import { DayAtSea } from './day-at-sea.js';
import { HeatEngine } from './heat-engine.js';
import { gasCp } from './laws.js';
import type { Traits } from './traits.js';

const longestStepS = 0.2;
/** Air and surfaces of an engine room, kJ/K, and for each kW rated; from memory. */
const roomKjPerK = 30;
const roomKjPerKw = 0.3;
/** Hull and draught besides the air that engines breathe, kW/K, and for each kW rated; common practice: 15 to 30 K over outside. */
const draughtKwPerK = 0.03;
const draughtPerKw = 0.0015;

export type FourthPlantOptions = {
  readonly port: Traits;
  readonly starboard: Traits;
  readonly seaTauS: number;
  /** Part of the sea probe's reading that is the room behind the hull. */
  readonly seaLeak: number;
  readonly seaC: number;
  readonly outsideC: number;
  readonly seed: number;
};

/**
 * The fourth plant: small cruising engines by textbook balances. Its author had not read the guard, its
 * thresholds or its tests, knew of its results no more than two totals in the README, and ran neither guard nor campaign on it.
 * Nothing of it is tuned on the guard: correct it only where it breaks physics. One rule of the guard was corrected for what its
 * first record showed, so it is no longer unseen.
 * Steps of any length are cut to 0.2 s.
 */
export class FourthPlant implements World {
  readonly engines: Readonly<Record<TwinId, HeatEngine>>;
  /** Without its fronts. */
  seaC: number;
  roughness = 0;
  roomC: number;
  private readonly options: FourthPlantOptions;
  private readonly day: DayAtSea;
  private readonly seaProbe: ProbeElement;

  constructor(options: FourthPlantOptions) {
    this.options = options;
    this.seaC = options.seaC;
    this.roomC = options.outsideC;
    this.day = new DayAtSea(makeRandom(options.seed));
    this.seaProbe = new ProbeElement(this.seaC);
    const start = { seaC: this.seaC, roomC: this.roomC };
    this.engines = {
      port: new HeatEngine(options.port, start),
      starboard: new HeatEngine(options.starboard, start),
    };
  }

  step(dtS: number): void {
    const steps = Math.max(1, Math.ceil(dtS / longestStepS - 1e-9));
    for (let i = 0; i < steps; i++) this.stepOnce(dtS / steps);
  }

  private stepOnce(dtS: number): void {
    const { day, roughness, options } = this;
    const { port, starboard } = this.engines;
    day.step(dtS, port.throttle);
    const water = { seaC: this.seaC + day.frontK, roomC: this.roomC };
    port.step(dtS, day.around(0, port.traits, roughness, water, dtS));
    starboard.step(dtS, day.around(1, starboard.traits, roughness, water, dtS));
    const ratedKw = port.traits.ratedKw + starboard.traits.ratedKw;
    const ventedKwPerK =
      draughtKwPerK + draughtPerKw * ratedKw + gasCp * (port.airKgPerS + starboard.airKgPerS);
    const gainKw = port.roomKw + starboard.roomKw - ventedKwPerK * (this.roomC - options.outsideC);
    this.roomC += (dtS * gainKw) / (roomKjPerK + roomKjPerKw * ratedKw);
    this.seaProbe.follow(water.seaC + options.seaLeak * (this.roomC - water.seaC), options.seaTauS, dtS);
  }

  elementTemperatureC({ engine, place, mounting }: Spot): number {
    if (place === 'sea-water') return this.seaProbe.temperatureC;
    if (place === 'engine-room') return this.roomC;
    if (engine === allEngines) throw new RangeError(`A probe at ${place} belongs to one engine, not to all.`);
    const one = this.engineOf(engine);
    if (place === 'wet-elbow') return one.probes[mounting === 'well' ? 'well' : 'strap'].temperatureC;
    if (place === 'dry-exhaust') return one.probes.gas.temperatureC;
    throw new RangeError(`The fourth plant has no place ${place}.`);
  }

  private engineOf(id: Engine): HeatEngine {
    if (id === 'port' || id === 'starboard') return this.engines[id];
    throw new RangeError(`The fourth plant has no engine ${id}.`);
  }

  pumpPressureKpa(engine: Engine): number {
    return this.engineOf(engine).pumpKpa;
  }

  rpm(engine: Engine): number {
    return this.engineOf(engine).rpm;
  }

  isRunning(engine: Engine): boolean {
    return this.engineOf(engine).throttle > 0;
  }

  setThrottle(engine: Engine, value: number): void {
    this.engineOf(engine).throttle = value <= 0 ? 0 : Math.min(1, Math.max(0.05, value));
  }

  bagIntake(engine: Engine): void {
    this.engineOf(engine).ailments.intake = this.engineOf(engine).traits.bagLeak;
  }

  clearIntake(engine: Engine): void {
    this.engineOf(engine).ailments.intake = 1;
  }

  wearImpeller(engine: Engine, flowLeft: number): void {
    this.engineOf(engine).ailments.impeller = Math.min(1, Math.max(0, flowLeft));
  }
}
