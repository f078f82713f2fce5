import { describe, expect, it } from 'vitest';
import { healthOf } from '../../../host/engine-health/health.js';
import { verdictOf } from '../../../host/engine-health/verdict.js';
import type { EngineCard } from '../../../node/index.js';
import type { ReadingRow } from '../../../node/link/messages.js';
import { card, startAt, storeRows } from '../store/made-readings.js';
import { closeStore, openNewStore, store, withStore } from './one-engine-store.js';

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const main: EngineCard = {
  id: 'main',
  name: 'Main engine',
  shortName: 'Main',
  kind: 'propulsion',
  alike: [],
};
const probes = [
  card('ring', 'main', 'wet-elbow'),
  card('well', 'main', 'wet-elbow'),
  card('gas', 'main', 'dry-exhaust'),
  card('sea', 'all', 'sea-water'),
];
const trips = 9;

/** Gas in four steps of half an hour, and by the law of this made-up engine 0.1 K of rise for each degree above 100 C. */
const gasAt = (s: number) => 200 + 40 * Math.floor(s / 1800);
const riseAt = (s: number) => 0.1 * (gasAt(s) - 100);

withStore(main, probes);

/** Nine trips of two hours on nine days, the well 5 K above the ring; `said` spoils what a probe reads. */
async function storeTrips(said: (probe: 'ring' | 'well', riseK: number, trip: number) => number | 'open') {
  const rows: Record<string, ReadingRow[]> = { ring: [], well: [], gas: [], sea: [] };
  for (let trip = 0; trip < trips; trip++)
    for (let s = 0; s < 7200; s += 20) {
      const at = startAt + trip * dayMs + s * 1000;
      const put = (probe: string, value: number | 'open') =>
        rows[probe]?.push(
          value === 'open'
            ? { probe, at, quality: 'open' }
            : { probe, at, temperatureC: value, quality: 'good' },
        );
      for (const [probe, aboveK] of [
        ['ring', 0],
        ['well', 5],
      ] as const) {
        const riseK = said(probe, riseAt(s) + aboveK, trip);
        put(probe, riseK === 'open' ? 'open' : 15 + riseK);
      }
      put('gas', gasAt(s));
      put('sea', 15);
    }
  storeRows(store, rows);
  const health = await healthOf(store, startAt, startAt + trips * dayMs);
  // Ring, well and gas: three that can be compared after a night.
  expect(health.coldSoaksTell).toBe(true);
  const [engine] = health.engines;
  if (!engine) throw new Error('no engine');
  return { engine, verdict: verdictOf(engine, health.coldSoaks) };
}

describe('health of an engine with two probes on its elbow', () => {
  it('a probe that is lost is followed by the other, by what that one was itself when learned', async () => {
    // A quarter more rise for the same gas is 1 / 1.25 = 80 % of the cooling.
    const { engine, verdict } = await storeTrips((probe, riseK, trip) =>
      probe === 'ring' && trip >= 6 ? 'open' : trip === 8 ? 1.25 * riseK : riseK,
    );
    expect(engine.elbow).toBe('well');
    expect(verdict.kind).toBe('less-cooling');
    expect(verdict.effectiveness).toBeCloseTo(0.8, 2);
  });

  it.each(['ring', 'well'] as const)('the one that shows less cooling counts: %s', async (hotter) => {
    const { engine, verdict } = await storeTrips((probe, riseK, trip) =>
      probe === hotter && trip === 8 ? 1.25 * riseK : riseK,
    );
    expect(engine.elbow).toBe(hotter);
    expect(verdict.effectiveness).toBeCloseTo(0.8, 2);
  });

  it('a boat with one elbow and one gas probe has too few to compare after a night', async () => {
    closeStore();
    openNewStore(
      main,
      probes.filter(({ id }) => id !== 'well'),
    );
    expect((await healthOf(store, startAt, startAt + dayMs)).coldSoaksTell).toBe(false);
  });

  it('both as learned is as learned, though they read 5 K apart', async () => {
    const { verdict } = await storeTrips((_, riseK) => riseK);
    expect(verdict.kind).toBe('as-learned');
    expect(verdict.effectiveness).toBeCloseTo(1, 2);
  });
});
