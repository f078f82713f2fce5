import { makeRandom, type Random } from '../../../node/bench/plant/random.js';
import { type TwinId, twins } from '../../../node/bench/plant/twins.js';
import type { Spot } from '../../../node/bench/world.js';
import type { CampaignPlant } from '../campaign/campaign-plant.js';
import { toward } from './lump.js';
import { Machinery } from './machinery.js';
import { Surroundings } from './surroundings.js';
import type { BoatTraits } from './traits.js';

/** Longest step of the physics, s. */
const finestS = 0.2;

type Day = { readonly seaC: number; readonly outsideC: number; readonly seed: number };

/** An invented boat with two small or middle-sized diesels, from 15 to 250 kW each. */
export class FifthPlant implements CampaignPlant {
  roughness = 0;
  seaC: number;
  readonly engines: Readonly<Record<TwinId, Machinery>>;
  readonly surroundings: Surroundings;
  private seaProbeC: number;
  private readonly traits: BoatTraits;
  private readonly random: Random;

  constructor(traits: BoatTraits, { seaC, outsideC, seed }: Day) {
    this.traits = traits;
    this.random = makeRandom(seed);
    this.seaC = this.seaProbeC = seaC;
    this.surroundings = new Surroundings(traits, outsideC, this.random);
    const make = (id: TwinId) => new Machinery(traits.engines[id], this.surroundings.roomC, seaC);
    this.engines = { port: make('port'), starboard: make('starboard') };
  }

  step(dtS: number): void {
    const parts = Math.max(1, Math.ceil(dtS / finestS - 1e-9));
    for (let part = 0; part < parts; part++) this.advance(dtS / parts);
  }

  elementTemperatureC({ engine, place, mounting }: Spot): number {
    if (place === 'sea-water') return this.seaProbeC;
    if (place === 'wet-elbow') {
      const { probes } = this.of(engine);
      return mounting === 'well' ? probes.wellC : probes.ringC;
    }
    return place === 'dry-exhaust' ? this.of(engine).probes.gasC : this.surroundings.roomC;
  }

  pumpPressureKpa = (engine: string): number => this.of(engine).raw.pressureKpa;
  rpm = (engine: string): number => this.of(engine).diesel.speed * this.of(engine).traits.ratedRpm;
  isRunning = (engine: string): boolean => this.of(engine).diesel.isRunning;

  setThrottle(engine: string, value: number): void {
    this.of(engine).diesel.throttle = Math.max(0, Math.min(1, value));
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

  private of(engine: string): Machinery {
    if (engine !== 'port' && engine !== 'starboard')
      throw new Error(`No engine ${engine} on this boat; name port or starboard.`);
    return this.engines[engine];
  }

  private advance(dtS: number): void {
    const { surroundings, random, traits, engines } = this;
    const seaC = this.seaC + surroundings.apartK;
    let [heatW, airKgPerS] = [0, 0];
    for (const id of twins) {
      const machinery = engines[id];
      const { gulpsPerS } = traits.engines[id].intake;
      // A gulp on most days comes once in hours; in a sea that lifts the seacock, every minute or so.
      if (machinery.diesel.isRunning && random.chance((gulpsPerS * this.roughness + 0.00005) * dtS))
        machinery.raw.gulp(traits.engines[id].rawKgPerS * random.between(0.05, 2));
      heatW += machinery.step(dtS, seaC, surroundings.roomC, surroundings.swell);
      airKgPerS += machinery.diesel.gasKgPerS;
    }
    const runs = twins.some((id) => engines[id].diesel.isRunning);
    surroundings.step(dtS, this.roughness, runs, airKgPerS, heatW);
    const wetC = traits.sea.atStrainer ? engines.port.raw.lineC : seaC;
    const seenC = wetC + traits.sea.roomLeak * (surroundings.roomC - wetC);
    this.seaProbeC = toward(this.seaProbeC, seenC, dtS, traits.sea.tauS);
  }
}
