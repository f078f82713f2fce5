import { describe, expect, it } from 'vitest';
import { healthOf } from '../../../host/engine-health/health.js';
import { pumpVerdictOf, pumpWords } from '../../../host/engine-health/pump-verdict.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import type { EngineCard } from '../../../node/index.js';
import type { ReadingRow } from '../../../node/link/messages.js';
import { card, startAt, storeRows } from '../store/made-readings.js';
import { store, withStore } from './one-engine-store.js';

const dayMs = 86_400_000;
const main: EngineCard = { id: 'main', name: 'Main', shortName: 'Main', kind: 'propulsion', alike: [] };
const probes = [
  card('ring', 'main', 'wet-elbow'),
  card('gas', 'main', 'dry-exhaust'),
  card('pump', 'main', 'raw-water-pressure'),
  card('sea', 'all', 'sea-water'),
];

/** Twenty minutes stopped, then gas in three steps; pressure as the square of a made-up speed that goes with it. */
const gasAt = (s: number) => (s < 1200 ? 30 : 200 + 60 * Math.floor((s - 1200) / 1800));
const kpaAt = (s: number) => (s < 1200 ? 0 : 80 * (gasAt(s) / 400) ** 2);

withStore(main, probes);

/** Trips of two hours on as many days; what the pressure truly is of that of a new pump, and how far its zero is off, kPa. */
async function storeTrips(
  trips: number,
  part: (trip: number) => number,
  zeroKpa: (trip: number) => number = () => 0,
) {
  const random = makeRandom(7);
  const rows: Record<string, ReadingRow[]> = { ring: [], gas: [], pump: [], sea: [] };
  for (let trip = 0; trip < trips; trip++)
    for (let s = 0; s < 6600; s += 20) {
      const at = startAt + trip * dayMs + s * 1000;
      const warm = (probe: string, temperatureC: number) =>
        rows[probe]?.push({ probe, at, temperatureC, quality: 'good' });
      warm('ring', 15 + 0.05 * gasAt(s));
      warm('gas', gasAt(s));
      warm('sea', 15);
      const pressureKpa = part(trip) * kpaAt(s) * (1 + 0.02 * random.normal()) + zeroKpa(trip);
      rows.pump?.push({ probe: 'pump', at, pressureKpa, raw: 1, rawUnit: 'volt', quality: 'good' });
    }
  storeRows(store, rows);
  const [engine] = (await healthOf(store, startAt, startAt + trips * dayMs)).engines;
  if (!engine?.pump) throw new Error('nothing was said of the pump');
  return pumpVerdictOf(engine.pump);
}

describe('the pressure behind a raw-water pump, over weeks', () => {
  it('an impeller that loses 1.5 % a trip is reported as a fall after twelve trips, with how far', async () => {
    const verdict = await storeTrips(12, (trip) => 1 - 0.015 * trip);
    expect(verdict.kind).toBe('falls');
    // The middle of the last three is trip 10, against the middle of the first four, 1.5: 0.85 / 0.9775.
    expect(verdict.ratio).toBeCloseTo(0.85 / 0.9775, 2);
    expect(pumpWords[verdict.kind].says).toContain('impeller');
  });

  it('a cooler that closes up is reported as a rise', async () => {
    const verdict = await storeTrips(8, (trip) => (trip < 4 ? 1 : 1.2));
    expect(verdict.kind).toBe('rises');
    expect(verdict.ratio).toBeCloseTo(1.2, 2);
    expect(pumpWords[verdict.kind].says).toContain('cooler');
  });

  it('a healthy pump is as when learned, also with a zero that wanders by 6 kPa; two trips are too few', async () => {
    expect(
      (
        await storeTrips(
          8,
          () => 1,
          (trip) => (trip < 4 ? -3 : 3),
        )
      ).kind,
    ).toBe('as-learned');
    expect(pumpVerdictOf({ probe: 'pump', ratio: [] }).kind).toBe('unknown');
  });

  it('every advice that opens the circuit says to close the seacock first', () => {
    for (const { advice } of Object.values(pumpWords))
      if (advice) expect(advice).toMatch(/close the seacock before you open anything/);
  });
});
