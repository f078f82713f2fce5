import { drawEngines, type EngineTraits, type TwinTraits } from '../../../node/bench/plant/engine-traits.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { makeRandom, type Random } from '../../../node/bench/plant/random.js';
import { type TwinId as Engine, twins as engines } from '../../../node/bench/plant/twins.js';
import type { Spot } from '../../../node/bench/world.js';
import type { GuardInput } from '../../../node/guard/guard.js';
import type { ProbeSettings } from '../../../node/guard/settings.js';
import { elbowLimits } from '../../../node/guard/settings-from-kit.js';
import { allEngines } from '../../../node/kit/engines.js';
import { asMonotonicMs, type MonotonicMs } from '../../../node/time/clock.js';
import { FifthPlant } from '../fifth-plant/fifth-plant.js';
import { drawBoat } from '../fifth-plant/traits.js';
import { FourthPlant } from '../fourth-plant/fourth-plant.js';
import { drawTwins } from '../fourth-plant/traits.js';
import { SecondPlant } from '../second-plant/second-plant.js';
import { secondStructure } from '../second-plant/structure.js';
import { drawTraits } from '../second-plant/traits.js';
import { drawWeather, WindAndWeed } from '../second-plant/weather.js';
import { drawBoat as drawSeventh } from '../seventh-plant/draw-boat.js';
import { SeventhPlant } from '../seventh-plant/seventh-plant.js';
import { SixthPlant } from '../sixth-plant/sixth-plant.js';
import { drawBoat as drawSixth } from '../sixth-plant/traits.js';
import { drawThird } from '../third-plant/draw.js';
import { TideAndSurf } from '../third-plant/tide-and-surf.js';
import type { CampaignPlant, Mounting, PlantName } from './campaign-plant.js';
import { drawFlaws, NoisyChannel, thermistorResolution, thermocoupleResolution } from './sensor-noise.js';
import type { EngineMode } from './twin-settings.js';

/** Time between passes, s: the slow end of what the board allows. */
export const passS = 0.2;

type Day = { readonly seaC: number; readonly outsideC: number; readonly seed: number };

/** One invented boat: its plant, its probes with their flaws, its home waters, and its clock. */
export class DrawnBoat {
  readonly mounting: Mounting;
  readonly mode: EngineMode;
  readonly probes: readonly ProbeSettings[];
  readonly channels: ReadonlyMap<string, NoisyChannel>;
  plant: CampaignPlant;
  atMs: MonotonicMs = asMonotonicMs(0);
  private readonly makePlant: (day: Day) => CampaignPlant;
  private readonly homeSeaC: number;
  private readonly random: Random;
  private readonly spots: readonly { readonly id: string; readonly spot: Spot }[];

  /** `loose`: every probe has a loose connection, whatever was drawn. */
  constructor(
    seed: number,
    mounting: Mounting,
    plantName: PlantName = 'first',
    loose = false,
    mode: EngineMode = 'twin',
  ) {
    this.random = makeRandom(seed);
    this.mounting = mounting;
    this.mode = mode;
    this.makePlant = builders[plantName](this.random, mode);
    this.homeSeaC = this.random.between(7, 24);
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
          drawFlaws(this.random, loose || drawnLoose, plantName !== 'first'),
          p.place === 'dry-exhaust' ? thermocoupleResolution : thermistorResolution,
          this.random,
        ),
      ]),
    );
    this.plant = this.moored('commissioning');
  }

  /**
   * The boat cold at her mooring on another day. The weeks of commissioning have about one sea temperature; the season
   * goes further from it.
   */
  moored(when: 'commissioning' | 'season' = 'season'): CampaignPlant {
    const { random } = this;
    const apartK = when === 'commissioning' ? random.between(-2, 2) : random.between(-6, 8);
    const seaC = Math.min(30, Math.max(4, this.homeSeaC + apartK));
    const outsideC = seaC + random.between(-4, 8);
    this.plant = this.makePlant({ seaC, outsideC, seed: Math.floor(random.next() * 2 ** 31) });
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

function firstBoat(random: Random, mode: EngineMode): (day: Day) => CampaignPlant {
  const drawn = drawEngines(random);
  const traits = mode === 'generator' ? generatorSets(drawn) : drawn;
  const seaTauS = random.between(8, 30);
  return (day) => new Plant({ engines: traits, seaTauS, ...day });
}

/** The same engines a twelfth as large, governed: 6 to 27 kW, with an elbow and flange to fit. */
const generatorSets = ({ port, starboard }: TwinTraits): TwinTraits => {
  const small = (traits: EngineTraits): EngineTraits => {
    const size = traits.size / 12;
    const surface = size ** (2 / 3);
    const { elbowAreaM2, flangeWPerK } = traits;
    return {
      ...traits,
      size,
      governed: true,
      elbowAreaM2: elbowAreaM2 * surface,
      flangeWPerK: flangeWPerK * surface,
    };
  };
  return { port: small(port), starboard: small(starboard) };
};

function secondBoat(random: Random): (day: Day) => CampaignPlant {
  const traits = drawTraits(random);
  const seaTauS = random.between(5, 60);
  const seaLeak = random.between(0, 0.06);
  return (day) =>
    new SecondPlant({
      ...traits,
      structure: secondStructure,
      seaTauS,
      seaLeak,
      makeSea: (random) => new WindAndWeed(drawWeather(makeRandom(day.seed)), random),
      ...day,
    });
}

function thirdBoat(random: Random): (day: Day) => CampaignPlant {
  const drawn = drawThird(random);
  return (day) => new SecondPlant({ ...drawn, makeSea: (ofDay) => new TideAndSurf(ofDay), ...day });
}

function fourthBoat(random: Random): (day: Day) => CampaignPlant {
  const drawn = { ...drawTwins(random), seaTauS: random.between(4, 60), seaLeak: random.between(0, 0.08) };
  return (day) => new FourthPlant({ ...drawn, ...day });
}

function fifthBoat(random: Random, mode: EngineMode): (day: Day) => CampaignPlant {
  const traits = drawBoat(random, mode === 'generator' ? 'generator' : undefined);
  return (day) => new FifthPlant(traits, day);
}

function sixthBoat(random: Random, mode: EngineMode): (day: Day) => CampaignPlant {
  const traits = drawSixth(random, mode === 'generator' ? 'generator' : undefined);
  return (day) => new SixthPlant(traits, day);
}

function seventhBoat(random: Random, mode: EngineMode): (day: Day) => CampaignPlant {
  const traits = drawSeventh(random, mode === 'generator' ? 'generator' : undefined);
  let outing = 0;
  return (day) => new SeventhPlant(traits, { ...day, outing: outing++ });
}

const builders: Readonly<
  Record<PlantName, (random: Random, mode: EngineMode) => (day: Day) => CampaignPlant>
> = {
  first: firstBoat,
  second: secondBoat,
  third: thirdBoat,
  fourth: fourthBoat,
  fifth: fifthBoat,
  sixth: sixthBoat,
  seventh: seventhBoat,
};

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
