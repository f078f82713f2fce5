import { makeRandom, type Random } from '../../../node/bench/plant/random.js';
import { type TwinId, twins } from '../../../node/bench/plant/twins.js';
import type { Spot } from '../../../node/bench/world.js';
import type { CampaignPlant } from '../campaign/campaign-plant.js';
import { Machine } from './machine.js';
import { Wiring } from './probes.js';
import { relax } from './relax.js';
import { SeaAndRoom } from './sea-and-room.js';
import type { BoatTraits } from './traits.js';

/** Longest step of the physics, s. */
const finestS = 0.2;

/** An invented cruising boat with two diesels or two generator sets of 8 to 200 kW each. */
export class SixthPlant implements CampaignPlant {
  roughness = 0;
  seaC: number;
  readonly engines: Readonly<Record<TwinId, Machine>>;
  readonly around: SeaAndRoom;
  private seaProbeC: number;
  private seaReadsC: number;
  private readonly seaWiring: Wiring;
  private readonly traits: BoatTraits;

  constructor(traits: BoatTraits, day: { seaC: number; outsideC: number; seed: number }) {
    const random: Random = makeRandom(day.seed);
    this.traits = traits;
    this.seaC = this.seaProbeC = this.seaReadsC = day.seaC;
    this.around = new SeaAndRoom(traits, day.outsideC, random);
    this.seaWiring = new Wiring(traits.seaProbe.wiring, random);
    const make = (id: TwinId) => new Machine(traits.engines[id], day.outsideC, day.seaC, random);
    this.engines = { port: make('port'), starboard: make('starboard') };
  }

  step(dtS: number): void {
    const parts = Math.max(1, Math.ceil(dtS / finestS - 1e-9));
    for (let part = 0; part < parts; part++) this.advance(dtS / parts);
  }

  elementTemperatureC({ engine, place, mounting }: Spot): number {
    if (place === 'sea-water') return this.seaReadsC;
    if (place === 'wet-elbow') {
      const { probes } = this.of(engine);
      return mounting === 'well' ? probes.wellC : probes.ringC;
    }
    return place === 'dry-exhaust' ? this.of(engine).probes.gasC : this.around.roomC;
  }

  pumpPressureKpa = (engine: string): number => this.of(engine).raw.pressureKpa;
  rpm = (engine: string): number => this.of(engine).engine.speed * this.of(engine).traits.ratedRpm;
  isRunning = (engine: string): boolean => this.of(engine).engine.isRunning;

  setThrottle(engine: string, value: number): void {
    this.of(engine).throttle = Math.max(0, Math.min(1, value));
  }

  bagIntake(engine: string): void {
    this.of(engine).ailments.intake = 0;
  }

  clearIntake(engine: string): void {
    this.of(engine).ailments.intake = 1;
  }

  wearImpeller(engine: string, flowLeft: number): void {
    this.of(engine).ailments.impeller = flowLeft;
  }

  private of(engine: string): Machine {
    if (engine !== 'port' && engine !== 'starboard')
      throw new Error(`No engine ${engine} on this boat; name port or starboard.`);
    return this.engines[engine];
  }

  private advance(dtS: number): void {
    const { around, traits, engines } = this;
    const waterC = around.waterC(this.seaC);
    let [heatW, airKgPerS, charge] = [0, 0, 0];
    for (const id of twins) {
      const machine = engines[id];
      const seaway = around.seaway(dtS, this.roughness, id === 'port' ? 1 : -1);
      machine.step(dtS, waterC, around.roomC, this.roughness, seaway);
      heatW += machine.roomW;
      airKgPerS += machine.engine.gasKgPerS;
      charge = Math.max(charge, machine.driving.charge);
    }
    around.step(dtS, heatW, airKgPerS);
    // The probe sits in or on the port engine's strainer; its water stands still, and warms, when that engine is stopped.
    const { lineC } = engines.port.raw;
    const { tauS, roomLeak } = traits.seaProbe;
    this.seaProbeC = relax(this.seaProbeC, lineC + roomLeak * (around.roomC - lineC), dtS, tauS);
    this.seaReadsC = this.seaProbeC + this.seaWiring.step(dtS, charge);
  }
}
