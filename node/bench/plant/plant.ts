import { type Engine, engines } from '../../kit/schema.js';
import type { Spot, World } from '../world.js';
import { EnginePlant } from './engine-plant.js';
import { type EngineTraits, typicalEngine } from './engine-traits.js';
import { ProbeElement } from './probe-element.js';
import { makeRandom, type Random } from './random.js';

const longestStepS = 0.2;

export type PlantOptions = {
  readonly port?: EngineTraits;
  readonly starboard?: EngineTraits;
  readonly seaC?: number;
  readonly outsideC?: number;
  readonly seaTauS?: number;
  /** Decides the seaway only; everything else is exact. */
  readonly seed?: number;
};

/** Two engines, the engine room and the sea: the physics behind every probe, deterministic and many thousand times real time. */
export class Plant implements World {
  readonly engines: Readonly<Record<Engine, EnginePlant>>;
  seaC: number;
  outsideC: number;
  roomC: number;
  /** 0 is calm, 1 is a sea that makes the propellers race and the intakes draw air. */
  roughness = 0;
  private readonly sea: ProbeElement;
  private readonly room: ProbeElement;
  private readonly seaTauS: number;
  private readonly random: Random;
  private seawayPhase = 0;
  private airS = 0;

  constructor(options: PlantOptions = {}) {
    const { port = typicalEngine, starboard = typicalEngine, seaC = 18, outsideC = 20 } = options;
    this.seaC = seaC;
    this.outsideC = outsideC;
    this.roomC = outsideC;
    this.seaTauS = options.seaTauS ?? 15;
    this.random = makeRandom(options.seed ?? 1);
    const start = { seaC, roomC: outsideC };
    this.engines = { port: new EnginePlant(port, start), starboard: new EnginePlant(starboard, start) };
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
    const { port, starboard } = this.engines;
    const around = { seaC: this.seaC, roomC: this.roomC };
    port.step(dtS, around);
    starboard.step(dtS, around);
    this.roomC += (dtS / this.roomKjPerK) * this.intoRoomKw();
    this.sea.follow(this.seaC, this.seaTauS, dtS);
    this.room.follow(this.roomC, 20, dtS);
  }

  private get roomKjPerK(): number {
    return 250 * (this.engines.port.traits.size + this.engines.starboard.traits.size);
  }

  /** Heat into the engine-room air less what the vents carry out, kW. */
  private intoRoomKw(): number {
    let kw = 0;
    for (const engine of engines) {
      const { size } = this.engines[engine].traits;
      const { fuelToRoom, coolantToRoom, manifoldToRoom, wallToRoom, hoseToRoom } = this.engines[engine].heat;
      kw += fuelToRoom + coolantToRoom + manifoldToRoom + wallToRoom + hoseToRoom;
      kw -= (0.05 + 0.6 * this.engines[engine].speed) * size * (this.roomC - this.outsideC);
    }
    return kw;
  }

  /** Waves load and unload the propellers; now and then an intake draws air for a moment. */
  private heaveSea(dtS: number): void {
    const { port, starboard } = this.engines;
    if (this.roughness === 0) {
      port.seawayLoad = starboard.seawayLoad = port.seawayFlow = starboard.seawayFlow = 1;
      return;
    }
    this.seawayPhase += dtS * (0.9 + 0.3 * this.random.normal());
    port.seawayLoad = 1 + 0.18 * this.roughness * Math.sin(this.seawayPhase);
    starboard.seawayLoad = 1 + 0.18 * this.roughness * Math.sin(this.seawayPhase + 0.8);
    if (this.airS > 0) this.airS -= dtS;
    else if (this.random.chance(0.02 * this.roughness * dtS)) this.airS = this.random.between(0.5, 2.5);
    port.seawayFlow = starboard.seawayFlow = this.airS > 0 ? 1 - 0.4 * this.roughness : 1;
  }

  elementTemperatureC({ engine, place, mounting }: Spot): number {
    if (place === 'sea-water') return this.sea.temperatureC;
    if (place === 'engine-room') return this.room.temperatureC;
    if (engine === 'both') throw new RangeError(`A probe at ${place} belongs to one engine, not to both.`);
    const plant = this.engines[engine];
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

  pumpPressureKpa(engine: Engine): number {
    return this.engines[engine].pumpPressureKpa;
  }

  rpm(engine: Engine): number {
    return this.engines[engine].rpm;
  }

  isRunning(engine: Engine): boolean {
    return this.engines[engine].running;
  }

  setThrottle(engine: Engine, value: number): void {
    this.engines[engine].throttle = value <= 0 ? 0 : Math.min(1, Math.max(0.05, value));
  }

  bagIntake(engine: Engine): void {
    this.engines[engine].ailments.intake = this.engines[engine].traits.bagLeak;
  }

  clearIntake(engine: Engine): void {
    this.engines[engine].ailments.intake = 1;
  }

  wearImpeller(engine: Engine, flowLeft: number): void {
    this.engines[engine].ailments.impeller = Math.min(1, Math.max(0, flowLeft));
  }
}
