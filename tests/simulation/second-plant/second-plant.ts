import { ProbeElement } from '../../../node/bench/plant/probe-element.js';
import { makeRandom, type Random } from '../../../node/bench/plant/random.js';
import type { TwinId } from '../../../node/bench/plant/twins.js';
import type { Spot, World } from '../../../node/bench/world.js';
import { allEngines, type Engine } from '../../../node/kit/engines.js';
import { SecondEngine } from './second-engine.js';
import type { Structure } from './structure.js';
import type { Traits } from './traits.js';
import type { Sea } from './weather.js';

const longestStepS = 0.2;

export type SecondPlantOptions = {
  readonly port: Traits;
  readonly starboard: Traits;
  readonly seaC: number;
  readonly outsideC: number;
  readonly seaTauS: number;
  /** Part of the sea probe's reading that is the room behind the hull. */
  readonly seaLeak: number;
  readonly structure: Structure;
  /** The sea of this day. */
  readonly makeSea: (random: Random) => Sea;
  readonly seed: number;
};

/**
 * A second boat with other physics than `plant/`: what both agree on is more likely to be true afloat than what either
 * shows alone. Its early records led to changes of the guard (the holds of the pressure, the foreseen limit, warm-up), so that
 * it is no longer unseen.
 */
export class SecondPlant implements World {
  readonly engines: Readonly<Record<TwinId, SecondEngine>>;
  /** Without its fronts. */
  seaC: number;
  roughness = 0;
  private roomC: number;
  private readonly outsideC: number;
  private readonly sea: Sea;
  private readonly seaProbe: ProbeElement;
  private readonly options: SecondPlantOptions;
  private readonly random: Random;

  constructor(options: SecondPlantOptions) {
    this.options = options;
    this.random = makeRandom(options.seed);
    this.seaC = options.seaC;
    this.outsideC = this.roomC = options.outsideC;
    this.sea = options.makeSea(this.random);
    const { structure } = options;
    const start = { seaC: options.seaC, roomC: options.outsideC };
    this.engines = {
      port: new SecondEngine(options.port, structure, start),
      starboard: new SecondEngine(options.starboard, structure, start),
    };
    this.seaProbe = new ProbeElement(options.seaC);
  }

  step(dtS: number): void {
    const steps = Math.max(1, Math.ceil(dtS / longestStepS - 1e-9));
    for (let i = 0; i < steps; i++) this.stepOnce(dtS / steps);
  }

  private stepOnce(dtS: number): void {
    const { sea } = this;
    sea.step(dtS, this.roughness);
    const seaC = this.seaC + sea.driftK;
    const around = (i: 0 | 1) => ({
      seaC,
      roomC: this.roomC,
      load: sea.load[i],
      open: sea.open[i],
      air: sea.air[i],
    });
    const { port, starboard } = this.engines;
    port.step(dtS, around(0));
    starboard.step(dtS, around(1));
    const kw = port.roomKw + starboard.roomKw;
    const ratedKw = port.traits.ratedKw + starboard.traits.ratedKw;
    const vented =
      0.00018 * ratedKw * (1 + 8 * (port.speed + starboard.speed)) * (this.roomC - this.outsideC);
    this.roomC += ((kw - vented) * dtS) / (0.9 * ratedKw);
    const { seaLeak, seaTauS } = this.options;
    this.seaProbe.follow(seaC + seaLeak * (this.roomC - seaC), seaTauS, dtS);
  }

  elementTemperatureC({ engine, place, mounting }: Spot): number {
    if (place === 'sea-water') return this.seaProbe.temperatureC;
    if (place === 'engine-room') return this.roomC;
    if (engine === allEngines) throw new RangeError(`A probe at ${place} belongs to one engine, not to all.`);
    const one = this.engineOf(engine);
    if (place === 'wet-elbow') return (mounting === 'well' ? one.well : one.bead).temperatureC;
    if (place === 'dry-exhaust') return one.gasProbe.temperatureC;
    throw new RangeError(`The second plant knows no place ${place}.`);
  }

  private engineOf(id: Engine): SecondEngine {
    if (id === 'port' || id === 'starboard') return this.engines[id];
    throw new RangeError(`The second plant has no engine ${id}.`);
  }

  pumpPressureKpa(engine: Engine): number {
    return this.engineOf(engine).pumpKpa;
  }

  rpm(engine: Engine): number {
    return this.engineOf(engine).rpm;
  }

  isRunning(engine: Engine): boolean {
    return this.engineOf(engine).running;
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
