import { allEngines } from '../../kit/engines.js';
import type { Spot, World } from '../world.js';
import { EnginePlant } from './engine-plant.js';
import { type EngineTraits, typicalEngine } from './engine-traits.js';
import { ProbeElement } from './probe-element.js';
import { makeRandom, type Random } from './random.js';
import type { TwinId } from './twins.js';

const longestStepS = 0.2;

export type PlantOptions<Id extends string = TwinId> = {
  /** One to four, by id; a twin of typical engines unless said otherwise. */
  readonly engines?: Readonly<Record<Id, EngineTraits>>;
  readonly seaC?: number;
  readonly outsideC?: number;
  readonly seaTauS?: number;
  /** Decides the seaway only; everything else is exact. */
  readonly seed?: number;
};

/** The engines, the engine room and the sea: the physics behind every probe, deterministic and many thousand times real time. */
export class Plant<Id extends string = TwinId> implements World {
  readonly engines: Readonly<Record<Id, EnginePlant>>;
  seaC: number;
  outsideC: number;
  roomC: number;
  /** 0 is calm, 1 is a sea that makes the propellers race and the intakes draw air. */
  roughness = 0;
  private readonly all: readonly EnginePlant[];
  private readonly sea: ProbeElement;
  private readonly room: ProbeElement;
  private readonly seaTauS: number;
  private readonly random: Random;
  private seawayPhase = 0;
  private airS = 0;

  constructor(options: PlantOptions<Id> = {}) {
    const { seaC = 18, outsideC = 20 } = options;
    const traits = options.engines ?? { port: typicalEngine, starboard: typicalEngine };
    this.seaC = seaC;
    this.outsideC = outsideC;
    this.roomC = outsideC;
    this.seaTauS = options.seaTauS ?? 15;
    this.random = makeRandom(options.seed ?? 1);
    const start = { seaC, roomC: outsideC };
    this.engines = Object.fromEntries(
      Object.entries(traits).map(([id, of]) => [id, new EnginePlant(of, start)]),
    ) as Record<Id, EnginePlant>;
    this.all = Object.values(this.engines);
    this.sea = new ProbeElement(seaC);
    this.room = new ProbeElement(outsideC);
  }

  /** Advances by `dtS` seconds, in steps of at most 0.2 s. */
  step(dtS: number): void {
    const steps = Math.max(1, Math.ceil(dtS / longestStepS - 1e-9));
    for (let i = 0; i < steps; i++) this.stepOnce(dtS / steps);
  }

  private stepOnce(dtS: number): void {
    this.heaveSea(dtS);
    const around = { seaC: this.seaC, roomC: this.roomC };
    for (const engine of this.all) engine.step(dtS, around);
    this.roomC += (dtS / this.roomKjPerK) * this.intoRoomKw();
    this.sea.follow(this.seaC, this.seaTauS, dtS);
    this.room.follow(this.roomC, 20, dtS);
  }

  private get roomKjPerK(): number {
    return 250 * this.all.reduce((sum, { traits }) => sum + traits.size, 0);
  }

  /** Heat into the engine-room air less what the vents carry out, kW. */
  private intoRoomKw(): number {
    let kw = 0;
    for (const { heat, traits, speed } of this.all) {
      kw += heat.fuelToRoom + heat.coolantToRoom + heat.manifoldToRoom + heat.wallToRoom + heat.hoseToRoom;
      kw -= (0.05 + 0.6 * speed) * traits.size * (this.roomC - this.outsideC);
    }
    return kw;
  }

  /** Waves load and unload the propellers; now and then an intake draws air for a moment. */
  private heaveSea(dtS: number): void {
    if (this.roughness === 0) {
      for (const engine of this.all) engine.seawayLoad = engine.seawayFlow = 1;
      return;
    }
    this.seawayPhase += dtS * (0.9 + 0.3 * this.random.normal());
    this.all.forEach((engine, i) => {
      const waves = engine.traits.governed ? 0 : Math.sin(this.seawayPhase + 0.8 * i);
      engine.seawayLoad = 1 + 0.18 * this.roughness * waves;
    });
    if (this.airS > 0) this.airS -= dtS;
    else if (this.random.chance(0.02 * this.roughness * dtS)) this.airS = this.random.between(0.5, 2.5);
    for (const engine of this.all) engine.seawayFlow = this.airS > 0 ? 1 - 0.4 * this.roughness : 1;
  }

  elementTemperatureC({ engine, place, mounting }: Spot): number {
    if (place === 'sea-water') return this.sea.temperatureC;
    if (place === 'engine-room') return this.room.temperatureC;
    if (engine === allEngines) throw new RangeError(`A probe at ${place} belongs to one engine.`);
    const plant = this.engineOf(engine);
    switch (place) {
      case 'wet-elbow':
        return mounting === 'well' ? plant.well.temperatureC : plant.ring.temperatureC;
      case 'dry-exhaust':
        return plant.afterTurbo.temperatureC;
      case 'before-turbo':
        return plant.beforeTurbo.temperatureC;
      default:
        throw new RangeError(`The plant knows no place ${place}.`);
    }
  }

  pumpPressureKpa(engine: string): number {
    return this.engineOf(engine).pumpPressureKpa;
  }

  rpm(engine: string): number {
    return this.engineOf(engine).rpm;
  }

  /** The engine of that id. Throws RangeError when the boat has none. */
  engineOf(id: string): EnginePlant {
    const found = Object.hasOwn(this.engines, id) ? this.engines[id as Id] : undefined;
    if (!found) throw new RangeError(`This boat has no engine ${id}.`);
    return found;
  }

  isRunning(engine: string): boolean {
    return this.engineOf(engine).running;
  }

  setThrottle(engine: string, value: number): void {
    this.engineOf(engine).throttle = value <= 0 ? 0 : Math.min(1, Math.max(0.05, value));
  }

  bagIntake(engine: string): void {
    this.engineOf(engine).ailments.intake = this.engineOf(engine).traits.bagLeak;
  }

  clearIntake(engine: string): void {
    this.engineOf(engine).ailments.intake = 1;
  }

  wearImpeller(engine: string, flowLeft: number): void {
    this.engineOf(engine).ailments.impeller = Math.min(1, Math.max(0, flowLeft));
  }
}
