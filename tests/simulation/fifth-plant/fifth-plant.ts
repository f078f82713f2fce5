import { makeRandom, type Random } from '../../../node/bench/plant/random.js';
import { type TwinId, twins } from '../../../node/bench/plant/twins.js';
import { TwinPlant } from '../twin-plant.js';
import { toward } from './lump.js';
import { Machinery } from './machinery.js';
import { Surroundings } from './surroundings.js';
import type { BoatTraits } from './traits.js';

type Day = { readonly seaC: number; readonly outsideC: number; readonly seed: number };

/** An invented boat with two small or middle-sized diesels, from 15 to 250 kW each. */
export class FifthPlant extends TwinPlant<Machinery> {
  readonly engines: Readonly<Record<TwinId, Machinery>>;
  readonly surroundings: Surroundings;
  private seaProbeC: number;
  private readonly traits: BoatTraits;
  private readonly random: Random;

  constructor(traits: BoatTraits, { seaC, outsideC, seed }: Day) {
    super(seaC);
    this.traits = traits;
    this.random = makeRandom(seed);
    this.seaProbeC = seaC;
    this.surroundings = new Surroundings(traits, outsideC, this.random);
    const make = (id: TwinId) => new Machinery(traits.engines[id], this.surroundings.roomC, seaC);
    this.engines = { port: make('port'), starboard: make('starboard') };
  }

  protected get seaReadsC(): number {
    return this.seaProbeC;
  }

  protected get roomC(): number {
    return this.surroundings.roomC;
  }

  rpm(engine: string): number {
    return this.of(engine).diesel.speed * this.of(engine).traits.ratedRpm;
  }

  isRunning(engine: string): boolean {
    return this.of(engine).diesel.isRunning;
  }

  setThrottle(engine: string, value: number): void {
    this.of(engine).diesel.throttle = Math.max(0, Math.min(1, value));
  }

  protected advance(dtS: number): void {
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
