import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { healthOf } from '../../../host/engine-health/health.js';
import { pumpVerdictOf } from '../../../host/engine-health/pump-verdict.js';
import { verdictOf } from '../../../host/engine-health/verdict.js';
import { openStore } from '../../../host/store/index.js';
import type { Ailments } from '../../../node/bench/plant/ailments.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import type { EngineCard } from '../../../node/index.js';
import type { ReadingRow } from '../../../node/link/messages.js';
import type { CampaignPlant } from '../../simulation/campaign/campaign-plant.js';
import { SecondPlant } from '../../simulation/second-plant/second-plant.js';
import { secondStructure } from '../../simulation/second-plant/structure.js';
import { drawTraits } from '../../simulation/second-plant/traits.js';
import { WindAndWeed } from '../../simulation/second-plant/weather.js';
import { card, movableClock, numbering, startAt, storeRows } from '../store/made-readings.js';

const dayMs = 86_400_000;
const engine: EngineCard = { id: 'port', name: 'Port', shortName: 'Port', kind: 'propulsion', alike: [] };
const probes = [
  card('elbow', 'port', 'wet-elbow'),
  card('gas', 'port', 'dry-exhaust'),
  card('pump', 'port', 'raw-water-pressure'),
  card('sea', 'all', 'sea-water'),
];
const rowS = 10;
/**
 * Trips are a week apart. 1 % of the pump's flow goes with each week, which is what `ailments.impeller` takes on both plants (of
 * 12 % the second loses 11.99 to 12.02 % of its flow at these loads), or 1 % of the cooler's area. Four trips to learn from, six to judge.
 */
const everyMs = 7 * dayMs;
const trips = [0, 1, 2, 3, 8, 9, 10, 11, 12, 13];
const looksAfter = [10, 12, 13];

const calm = { wind: 0.3, weed: 0, fronts: 0 };
const plants: Readonly<Record<string, (seed: number, seaC: number) => CampaignPlant>> = {
  first: (seed, seaC) => new Plant({ seed, seaC, outsideC: seaC }),
  second: (seed, seaC) =>
    new SecondPlant({
      ...drawTraits(makeRandom(4)),
      structure: secondStructure,
      seaTauS: 20,
      seaLeak: 0.03,
      makeSea: (random) => new WindAndWeed(calm, random),
      seaC,
      outsideC: seaC,
      seed,
    }),
};

/** Weekly trips with a hidden ailment that grows; the verdicts after some of them. */
async function weeks(plantName: string, ail: (ailments: Ailments, trip: number) => void) {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-wear-'));
  const store = openStore(folder, movableClock().clock);
  store.intake.take(
    numbering()({ kind: 'hello', boat: 'Invented', invented: true, engines: [engine], probes }),
  );
  store.intake.commit();
  const random = makeRandom(31);
  const said: { trip: number; pump: string; elbow: string }[] = [];
  for (const trip of trips) {
    const plant = plants[plantName]?.(trip + 1, 14 + 4 * Math.sin(trip / 8)) as CampaignPlant;
    ail(plant.engines.port.ailments, trip);
    const rows: Record<string, ReadingRow[]> = { elbow: [], gas: [], pump: [], sea: [] };
    // At rest for the zero, then two loads; the probe's zero wanders by a kilopascal from week to week.
    const zeroKpa = random.between(-1, 1);
    for (let s = 0; s < 2400; s += rowS) {
      const throttle = s < 420 ? 0 : s < 1500 ? 0.7 : 0.5;
      for (const each of ['port', 'starboard'] as const) plant.setThrottle(each, throttle);
      for (let step = 0; step < rowS; step++) plant.step(1);
      const at = startAt + trip * everyMs + s * 1000;
      const degrees = (probe: string, place: string, by: string) =>
        rows[probe]?.push({
          probe,
          at,
          temperatureC:
            plant.elementTemperatureC({ engine: by, place, mounting: 'well' }) + 0.1 * random.normal(),
          quality: 'good',
        });
      degrees('elbow', 'wet-elbow', 'port');
      degrees('gas', 'dry-exhaust', 'port');
      degrees('sea', 'sea-water', 'all');
      const pressureKpa = plant.pumpPressureKpa('port') * (1 + 0.03 * random.normal()) + zeroKpa;
      rows.pump?.push({ probe: 'pump', at, pressureKpa, raw: 1, rawUnit: 'volt', quality: 'good' });
    }
    storeRows(store, rows);
    if (!looksAfter.includes(trip)) continue;
    const health = await healthOf(store, startAt, startAt + trip * everyMs + dayMs);
    const [port] = health.engines;
    if (!port?.pump) throw new Error('nothing was said of the pump');
    said.push({
      trip,
      pump: pumpVerdictOf(port.pump).kind,
      elbow: verdictOf(port, health.coldSoaks).kind,
    });
  }
  store.close();
  rmSync(folder, { recursive: true, force: true });
  return said;
}

const firstTrip = (said: Awaited<ReturnType<typeof weeks>>, of: 'pump' | 'elbow', kind: string) =>
  said.find((one) => one[of] === kind)?.trip ?? Number.POSITIVE_INFINITY;

it.each(Object.keys(plants))(
  '%s plant, an impeller that loses 1 % of its flow a week: a fall before an eighth of the flow is lost',
  async (plant) => {
    const said = await weeks(plant, (ailments, trip) => {
      ailments.impeller = 1 - 0.01 * trip;
    });
    const fell = firstTrip(said, 'pump', 'falls');
    expect(fell).toBeLessThanOrEqual(12);
    expect(said.filter(({ trip }) => trip >= fell).every(({ pump }) => pump === 'falls')).toBe(true);
  },
  120_000,
);

it.each(Object.keys(plants))(
  '%s plant, a cooler that closes up by 1 % of its area a week: a rise, while the elbow shows nothing of it',
  async (plant) => {
    const said = await weeks(plant, (ailments, trip) => {
      ailments.exchanger = 1 - 0.01 * trip;
    });
    expect(firstTrip(said, 'pump', 'rises')).toBeLessThanOrEqual(12);
    expect(firstTrip(said, 'pump', 'falls')).toBe(Number.POSITIVE_INFINITY);
    expect(said.map(({ elbow }) => elbow)).toEqual(said.map(() => 'as-learned'));
  },
  120_000,
);

it.each(Object.keys(plants))(
  '%s plant, healthy for a season: as when learned all along',
  async (plant) => {
    const said = await weeks(plant, () => {});
    expect(said.map(({ pump }) => pump)).toEqual(said.map(() => 'as-learned'));
  },
  120_000,
);
