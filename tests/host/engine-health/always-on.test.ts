import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { healthOf } from '../../../host/engine-health/health.js';
import { voyagesOf } from '../../../host/report/voyages.js';
import { openStore, type Store } from '../../../host/store/index.js';
import { firstEngineCards, type ProbeCard } from '../../../node/index.js';
import { systemClock } from '../../../node/time/clock.js';
import { numbering } from '../store/made-readings.js';

const hourMs = 3_600_000;
const days = 5;
const startAt = Date.UTC(2026, 4, 1);
const span = { from: startAt, to: startAt + days * 24 * hourMs };
const card = (id: string, place: string): ProbeCard => ({
  ...{ id, name: id, place },
  engine: place === 'wet-elbow' || place === 'dry-exhaust' ? 'port' : 'all',
  mounting: 'strap-on',
  limits: {},
});
const probes = [
  card('elbow', 'wet-elbow'),
  card('gas', 'dry-exhaust'),
  card('room', 'engine-room'),
  card('sea', 'sea-water'),
];
/** A reading a minute, day and night; the engine runs from 10 to 12 each day. */
const minutes = Array.from({ length: days * 24 * 60 }, (_, i) => startAt + i * 60_000);
const runsAt = (at: number) => new Date(at).getUTCHours() === 10 || new Date(at).getUTCHours() === 11;
const temperatureC = (id: string, at: number): number =>
  runsAt(at) ? ({ elbow: 45, gas: 300, room: 35, sea: 18 }[id] ?? 0) : 18;

let folder: string;
let store: Store;
const writeHistory = (ids: readonly string[]) => {
  const cards = probes.filter(({ id }) => ids.includes(id));
  store.intake.take(
    numbering()({
      kind: 'hello',
      boat: 'Invented',
      invented: true,
      engines: firstEngineCards,
      probes: cards,
    }),
  );
  store.intake.commit();
  for (const probe of ids) {
    const values = Float64Array.from(minutes, (at) => temperatureC(probe, at));
    store.addHistory({ node: 'engine-room', probe, at: Float64Array.from(minutes), temperatureC: values });
  }
};
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-always-on-'));
  store = openStore(folder, systemClock);
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true });
});

describe('a kit that is on day and night', () => {
  it('has a trip and a cold soak for each day on which an engine ran, by its exhaust gas', async () => {
    writeHistory(['elbow', 'gas', 'room', 'sea']);
    const { trips, coldSoaks } = await healthOf(store, span.from, span.to);
    expect(trips).toBe(days);
    expect(coldSoaks.map(({ at }) => new Date(at).getUTCHours())).toEqual(new Array(days).fill(9));
    expect(voyagesOf(store, span, span.to)).toHaveLength(days);
  });

  it('the same by its running input alone', async () => {
    writeHistory(['elbow', 'room', 'sea']);
    store.bulk.runSpans(
      Array.from({ length: days }, (_, day) => {
        const at = startAt + (day * 24 + 10) * hourMs;
        return { node: 'engine-room', engine: 'port', startAt: at, endAt: at + 2 * hourMs - 60_000 };
      }),
    );
    expect((await healthOf(store, span.from, span.to)).trips).toBe(days);
    expect(voyagesOf(store, span, span.to)).toHaveLength(days);
  });

  it('is one stretch where nothing says when an engine ran', async () => {
    writeHistory(['elbow', 'room', 'sea']);
    expect((await healthOf(store, span.from, span.to)).trips).toBe(1);
  });

  it('an hour in which no gas probe has a reading counts by its others, as an import of an earlier log has', () => {
    writeHistory(probes.map(({ id }) => id));
    const at = Float64Array.from({ length: 60 }, (_, s) => startAt - 20 * 24 * hourMs + s * 1000);
    store.addHistory({ node: 'engine-room', probe: 'elbow', at, temperatureC: at.map(() => 45) });
    const earlier = { from: startAt - 30 * 24 * hourMs, to: startAt };
    expect(voyagesOf(store, earlier, earlier.to)).toHaveLength(1);
  });
});
