import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Fastify from 'fastify';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { historyRoutes } from '../../../host/serve/history-routes.js';
import { setErrorHandler } from '../../../host/serve/page-app.js';
import type { Trip } from '../../../host/serve/trips.js';
import { openStore, type Store } from '../../../host/store/index.js';
import { type AlertRow, firstEngineCards } from '../../../node/index.js';
import { card, movableClock, numbering, reading, startAt } from '../store/made-readings.js';

const minute = 60_000;
const hour = 60 * minute;
const secondTripAt = startAt + 24 * hour;

/** Two invented trips of port, an hour and half an hour; after the first the elbow soaks hotter than it ever ran. */
const fill = (store: Store) => {
  const next = numbering();
  const take = (message: Parameters<typeof next>[0]) => store.intake.take(next(message));
  take({
    kind: 'hello',
    boat: 'Invented',
    invented: true,
    engines: firstEngineCards,
    probes: [card('port-elbow'), card('port-exhaust', 'port', 'dry-exhaust')],
  });
  const run = (from: number, minutes: number, elbowC: (m: number) => number, gasC: number) => {
    for (let s = 0; s < minutes * 60; s += 10)
      take({
        kind: 'readings',
        rate: 'second',
        rows: [
          reading('port-elbow', from + s * 1000, { temperatureC: elbowC(Math.floor(s / 60)) }),
          reading('port-exhaust', from + s * 1000, { temperatureC: gasC }),
        ],
      });
  };
  // 40 C for half an hour, 50 C for the other, then ten minutes of heat soak at 70 C with the engine stopped.
  run(startAt, 70, (m) => (m < 30 ? 40 : m < 60 ? 50 : 70), 300);
  const alarm = {
    id: 'cooling:port',
    rule: 'high-limit',
    priority: 'alarm',
    state: 'unacknowledged',
  } as const;
  const rest = { engine: 'port', message: 'Hot.', evidence: { values: {}, thresholds: {} }, actions: [] };
  const alert: AlertRow = { ...alarm, ...rest, since: startAt + 20 * minute };
  take({ kind: 'alerts', at: alert.since, alerts: [alert] });
  take({ kind: 'alerts', at: alert.since + minute, alerts: [] });
  run(secondTripAt, 30, () => 45, 320);
  store.intake.commit();
  store.bulk.runSpans([
    { node: 'engine-room', engine: 'port', startAt, endAt: startAt + hour },
    { node: 'engine-room', engine: 'port', startAt: secondTripAt, endAt: secondTripAt + hour / 2 },
  ]);
};

describe('the list of trips', () => {
  let folder: string;
  let store: Store;
  const app = Fastify();
  setErrorHandler(app);
  const trips = async (from: number, to: number): Promise<readonly Trip[]> => {
    const answer = await app.inject(`/api/trips?from=${from}&to=${to}`);
    expect(answer.statusCode).toBe(200);
    return answer.json();
  };
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'elbowroom-trips-'));
    const { clock } = movableClock(secondTripAt + 2 * hour);
    store = openStore(folder, clock);
    fill(store);
    historyRoutes(app, store, clock);
  });
  afterAll(async () => {
    await app.close();
    store.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('has the newest first, with the hours of each engine and the alerts that were raised on it', async () => {
    const found = await trips(startAt - hour, secondTripAt + hour);
    const port = found.map(({ engines }) => engines.find(({ id }) => id === 'port')?.hours);
    expect(port.map((hours) => hours?.toFixed(3))).toEqual(['0.500', '1.000']);
    expect(found.map(({ alerts }) => alerts)).toEqual([
      { alarm: 0, warning: 0, caution: 0 },
      { alarm: 1, warning: 0, caution: 0 },
    ]);
  });

  it('has least, mean and greatest while the engine ran: what the metal soaks to after the stop is none of them', async () => {
    const [first] = await trips(startAt - hour, startAt + 2 * hour);
    const probes = first?.engines.find(({ id }) => id === 'port')?.probes ?? [];
    expect(
      probes.map(({ place, minC, meanC, maxC }) => [place, minC, Math.round(meanC * 10) / 10, maxC]),
    ).toEqual([
      ['wet-elbow', 40, 45, 50],
      ['dry-exhaust', 300, 300, 300],
    ]);
  });

  it('is empty where no engine ran, and refuses a span that ends before it begins', async () => {
    expect(await trips(startAt + 3 * hour, startAt + 9 * hour)).toEqual([]);
    expect((await app.inject('/api/trips?from=2000&to=1000')).statusCode).toBe(400);
  });
});
