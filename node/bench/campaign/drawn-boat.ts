import type { GuardInput } from '../../guard/guard.js';
import type { ProbeSettings } from '../../guard/settings.js';
import { elbowLimits } from '../../guard/settings-from-kit.js';
import { allEngines } from '../../kit/engines.js';
import { asMonotonicMs, type MonotonicMs } from '../../time/clock.js';
import { drawEngines } from '../plant/engine-traits.js';
import { Plant } from '../plant/plant.js';
import { makeRandom, type Random } from '../plant/random.js';
import { type TwinId as Engine, twins as engines } from '../plant/twins.js';
import type { Spot } from '../world.js';
import { drawFlaws, NoisyChannel, thermistorResolution, thermocoupleResolution } from './sensor-noise.js';

export type Mounting = 'strap-on' | 'well';

/** Time between passes, s: the slow end of what the board allows. */
export const passS = 0.2;

/** One invented boat: its plant, its probes with their flaws, and its clock. */
export class DrawnBoat {
  readonly mounting: Mounting;
  readonly probes: readonly ProbeSettings[];
  readonly channels: ReadonlyMap<string, NoisyChannel>;
  plant: Plant;
  atMs: MonotonicMs = asMonotonicMs(0);
  private readonly traits: ReturnType<typeof drawEngines>;
  private readonly seaTauS: number;
  private readonly random: Random;
  private readonly spots: readonly { readonly id: string; readonly spot: Spot }[];

  /** `loose`: every probe has a loose connection, whatever was drawn. */
  constructor(seed: number, mounting: Mounting, loose = false) {
    this.random = makeRandom(seed);
    this.mounting = mounting;
    this.traits = drawEngines(this.random);
    this.seaTauS = this.random.between(8, 30);
    this.probes = probesOf(mounting);
    this.spots = this.probes.map((p) => ({
      id: p.id,
      spot: { engine: p.engine, place: p.place, mounting: p.mounting },
    }));
    const drawnLoose = this.random.chance(0.06);
    this.channels = new Map(
      this.probes.map((p) => [
        p.id,
        new NoisyChannel(
          p.id,
          drawFlaws(this.random, loose || drawnLoose),
          p.place === 'dry-exhaust' ? thermocoupleResolution : thermistorResolution,
          this.random,
        ),
      ]),
    );
    this.plant = this.moored();
  }

  /** The boat cold at her mooring in the weather of another day. */
  moored(): Plant {
    const { random } = this;
    const seaC = random.between(6, 28);
    this.plant = new Plant({
      engines: this.traits,
      seaC,
      outsideC: seaC + random.between(-4, 8),
      seaTauS: this.seaTauS,
      seed: Math.floor(random.next() * 2 ** 31),
    });
    this.atMs = asMonotonicMs(this.atMs + 3_600_000);
    return this.plant;
  }

  /** Advances one pass and gives what the guard would be given. */
  pass(): GuardInput {
    this.plant.step(passS);
    this.atMs = asMonotonicMs(this.atMs + passS * 1000);
    return {
      nowMs: this.atMs,
      readings: this.spots.map(({ id, spot }) => {
        const channel = this.channels.get(id);
        if (!channel) throw new Error(`No channel for ${id}.`);
        return channel.read(this.atMs, this.plant.elementTemperatureC(spot), passS);
      }),
      running: { port: this.plant.isRunning('port'), starboard: this.plant.isRunning('starboard') },
      board: 'connected',
    };
  }
}

const probesOf = (mounting: Mounting): ProbeSettings[] => [
  ...engines.flatMap((engine: Engine): ProbeSettings[] => [
    {
      id: `${engine}-elbow`,
      name: `${engine} elbow`,
      engine,
      place: 'wet-elbow',
      mounting,
      ...elbowLimits,
    },
    { id: `${engine}-exhaust`, name: `${engine} exhaust`, engine, place: 'dry-exhaust', mounting: 'free' },
  ]),
  { id: 'sea', name: 'Sea', engine: allEngines, place: 'sea-water', mounting: 'free' },
];
