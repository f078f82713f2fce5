import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Forwarder, uploaderTo, writeDestination } from '../../host/forward/index.js';
import { openStore } from '../../host/store/index.js';
import { makeRandom } from '../../node/bench/plant/random.js';
import { systemClock } from '../../node/time/clock.js';
import { reading, startAt } from '../host/store/made-readings.js';
import { seed, shortOrLong } from '../long-form.js';
import { expectServerHoldsTheStore } from './store/same-as-server.js';
import { TimeSeriesServer } from './store/time-series-server.js';

const probes = shortOrLong(1, 8);
const kills = shortOrLong(3, 20);
/** A whole day, or six hours of it. */
const awaySeconds = shortOrLong(21_600, 86_400);
const random = makeRandom(seed);
/** A busy machine may let the server take longer to answer than a forwarder waits in use; then it would only send again. */
const patienceMs = 120_000;

let server: TimeSeriesServer;
beforeAll(async () => {
  server = await TimeSeriesServer.reserve();
});
afterAll(() => server.stop());

const newStore = (boat: string) => {
  const dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-forwarded-'));
  const destination = { url: server.url, org: 'elbowroom', bucket: 'elbowroom', boat };
  writeDestination(dataDir, destination);
  return { dataDir, destination };
};

const fillDay = (dataDir: string, count: number, seconds: number) => {
  const store = openStore(dataDir, systemClock);
  for (let p = 0; p < count; p++)
    store.bulk.rows([
      {
        name: `probe-${p}`,
        node: 'engine-room',
        rate: 'second',
        rows: Array.from({ length: seconds }, (_, i) => {
          const row = reading(`probe-${p}`, startAt + i * 1000 + (i % 7), { certificate: 'ice-1@2' });
          if (i % 97 !== 0) return row;
          return { probe: row.probe, at: row.at, quality: i % 2 === 0 ? 'open' : 'no-answer' } as const;
        }),
      },
    ]);
  return store;
};

describe('a real time-series server', () => {
  it('was unreachable for hours: afterwards it holds exactly what the store holds', async () => {
    const { dataDir, destination } = newStore('away');
    const store = fillDay(dataDir, probes, awaySeconds);
    const forwarder = new Forwarder(store, destination, uploaderTo(destination, patienceMs), systemClock);
    for (let i = 0; i < 5; i++) expect((await forwarder.step()).kind).toBe('not-now');
    await server.start();
    for (let result = await forwarder.step(); result.kind !== 'nothing-left'; result = await forwarder.step())
      expect(result.kind).toBe('sent');
    expect(forwarder.counters()).toMatchObject({ sent: probes * awaySeconds, refused: 0 });
    const points = await expectServerHoldsTheStore(server, store, 'away');
    expect(points).toBeGreaterThan(probes * awaySeconds * 3);
    store.close();
  });

  it(`takes from a forwarder killed ${kills} times (seed ${seed}) in the middle of its work exactly what the store holds`, async () => {
    const { dataDir, destination } = newStore('killed');
    const seconds = 10_000 + kills * 6_000;
    fillDay(dataDir, 1, seconds).close();
    const program = resolve(import.meta.dirname, '../../dist/tests/bench/store/forward-process.js');
    for (let kill = 0; kill < kills; kill++) {
      const child = fork(program, [dataDir], { execArgv: [] });
      await once(child, 'message');
      await pause(random.between(0, 60));
      child.kill('SIGKILL');
      await once(child, 'exit');
    }
    const store = openStore(dataDir, systemClock);
    const forwarder = new Forwarder(store, destination, uploaderTo(destination, patienceMs), systemClock);
    const before = forwarder.counters().sent;
    while ((await forwarder.step()).kind !== 'nothing-left');
    expect(forwarder.counters().sent).toBe(seconds);
    expect(before).toBeLessThanOrEqual(seconds);
    await expectServerHoldsTheStore(server, store, 'killed');
    store.close();
  });
});
