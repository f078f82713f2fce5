import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { exportReadings, lineOf } from '../../../host/exchange/index.js';
import { destinationId } from '../../../host/forward/destination.js';
import { checkDestination, Forwarder, uploaderTo } from '../../../host/forward/index.js';
import { openStore, type Store } from '../../../host/store/index.js';
import type { ReadingRow } from '../../../node/link/messages.js';
import { movableClock, reading, startAt } from '../store/made-readings.js';
import { type Manner, StrictServer } from './strict-server.js';

let store: Store;
let server: StrictServer;
let forwarder: Forwarder;
let id: string;

beforeEach(async () => {
  const { clock } = movableClock();
  store = openStore(mkdtempSync(join(tmpdir(), 'elbowroom-forward-')), clock);
  server = new StrictServer();
  const destination = checkDestination(
    { url: await server.start(), org: 'o', bucket: 'b', boat: 'Invented, a boat' },
    'test',
  );
  id = destinationId(destination);
  forwarder = new Forwarder(store, destination, uploaderTo(destination, 1_500), clock);
  addSeconds(0, 6_000);
});

afterEach(() => {
  server.stop();
  store.close();
});

const addSeconds = (from: number, to: number, probe = 'port-elbow') =>
  store.bulk.rows([
    {
      name: probe,
      node: 'engine-room',
      rate: 'second',
      rows: Array.from({ length: to - from }, (_, i) => reading(probe, startAt + (from + i) * 1000)),
    },
  ]);

/** Steps until nothing is left, and gives the waits that were asked for on the way. */
const forwardAll = async (): Promise<number[]> => {
  const waits: number[] = [];
  for (let i = 0; i < 500; i++) {
    const result = await forwarder.step();
    if (result.kind === 'nothing-left') return waits;
    if (result.kind === 'not-now') waits.push(result.waitMs);
  }
  throw new Error('it never ends');
};

const storedLines = (): Set<string> => {
  const lines = new Set<string>();
  for (const row of exportReadings(store, store.allSeries(), { from: 0, to: 9e15 }))
    lines.add(lineOf(row, 'boat=Invented\\,\\ a\\ boat,'));
  return lines;
};

const expectServerHasAll = () => {
  const expected = storedLines();
  const takenOnly = [...server.lines.keys()].filter((line) => !expected.has(line));
  expect(takenOnly).toEqual([]);
  expect(server.lines.size).toBe(expected.size);
};

describe('the forwarder', () => {
  it('sends everything once, in chunks, and then only what is new', async () => {
    expect(await forwardAll()).toEqual([]);
    expectServerHasAll();
    expect(server.requests).toBe(2);
    const rows = Array.from({ length: 10 }, (_, i) => reading('port-elbow', startAt + (6_000 + i) * 1000));
    const take = (seq: number, rows: readonly ReadingRow[]) =>
      store.intake.take({
        node: 'engine-room',
        boot: 'boot-1',
        seq,
        message: { kind: 'readings', rate: 'second', rows },
      });
    take(1, rows.slice(0, 1));
    store.intake.commit();
    await forwardAll();
    take(2, rows.slice(1));
    expect(await forwarder.step()).toEqual({ kind: 'nothing-left' });
    store.intake.commit();
    await forwardAll();
    expect(server.requests).toBe(4);
    expectServerHasAll();
    expect(Math.max(...server.lines.values())).toBe(1);
    expect(forwarder.counters()).toMatchObject({ sent: 6_010, refused: 0 });
  });

  it('sends a row that came late with the hour it belongs to', async () => {
    addSeconds(20_000, 20_010);
    await forwardAll();
    addSeconds(15_000, 15_005);
    expect(store.forwardCursor.resendCount(id)).toBe(1);
    await forwardAll();
    expect(store.forwardCursor.resendCount(id)).toBe(0);
    expectServerHasAll();
  });

  it('sends an hour again when another late row came while it was under way', async () => {
    await forwardAll();
    addSeconds(100, 200, 'sea');
    addSeconds(50, 60, 'sea');
    const [queued] = store.forwardCursor.resendQueue(id, 1);
    addSeconds(60, 70, 'sea');
    store.forwardCursor.confirm(id, { ...(queued && { resend: queued }) }, [], {});
    expect(store.forwardCursor.resendCount(id)).toBe(1);
    await forwardAll();
    expectServerHasAll();
  });

  const troubles: Record<string, { manners: Manner[]; waits: number[] }> = {
    'a token that does not fit (401)': { manners: [{ kind: 'status', code: 401 }], waits: [60_000] },
    'a bucket that is not there (404)': { manners: [{ kind: 'status', code: 404 }], waits: [60_000] },
    'an overloaded server that names its wait in seconds (429)': {
      manners: [{ kind: 'status', code: 429, headers: { 'retry-after': '7' } }],
      waits: [7_000],
    },
    'a server error, three times over (500)': {
      manners: Array.from({ length: 3 }, () => ({ kind: 'status', code: 500 }) as const),
      waits: [1_000, 2_000, 4_000],
    },
    'half an answer': { manners: [{ kind: 'half-answer' }], waits: [1_000] },
    'no answer at all': { manners: [{ kind: 'hang' }], waits: [1_000] },
    'a server that says it kept some (201)': { manners: [{ kind: 'status', code: 201 }], waits: [] },
  };
  for (const [what, { manners, waits }] of Object.entries(troubles))
    it(`loses nothing to ${what}`, async () => {
      server.manners.push({ kind: 'take' }, ...manners);
      expect(await forwardAll()).toEqual(waits);
      expectServerHasAll();
      expect(forwarder.counters().refused).toBe(0);
    });

  it('sends smaller pieces to a server that calls them too large (413)', async () => {
    server.mostBytes = 100_000;
    await forwardAll();
    expectServerHasAll();
  });

  it('isolates three bad lines among 6,000, counts and shows them, and continues', async () => {
    const bad = [4, 4321, 5_999].map((i) => `${startAt + i * 1000}000000`);
    server.isBad = (line) => bad.some((time) => line.endsWith(time));
    await forwardAll();
    expect(server.lines.size).toBe(6_000 - 3);
    expect(forwarder.counters()).toMatchObject({ sent: 5_997, refused: 3 });
    expect(store.forwardCursor.refused(id).map((r) => r.line.split(' ').at(-1))).toEqual(bad.toReversed());
    expect(store.forwardCursor.refused(id)[0]?.why).toContain('400');
  });

  it('gives up no line when the server takes none at all', async () => {
    server.isBad = () => true;
    expect(await forwarder.step()).toMatchObject({
      kind: 'not-now',
      why: expect.stringContaining('takes none of our lines'),
    });
    server.isBad = () => false;
    await forwardAll();
    expectServerHasAll();
    expect(forwarder.counters().refused).toBe(0);
  });

  for (const lines of [1, 5, 19, 20, 21])
    it(`gives up none of ${lines} lines when the server takes none at all, and sends them when it does`, async () => {
      await forwardAll();
      addSeconds(6_000, 6_000 + lines);
      server.isBad = () => true;
      for (let tries = 0; tries < 5; tries++)
        expect(await forwarder.step()).toMatchObject({ kind: 'not-now', waitMs: 60_000 });
      server.isBad = () => false;
      await forwardAll();
      expectServerHasAll();
      expect(forwarder.counters().refused).toBe(0);
    });

  it('a bad line that comes alone is given up once the server takes a line again that it took before', async () => {
    await forwardAll();
    addSeconds(6_000, 6_001);
    const bad = `${startAt + 6_000 * 1000}000000`;
    server.isBad = (line) => line.endsWith(bad);
    await forwardAll();
    expect(forwarder.counters()).toMatchObject({ sent: 6_000, refused: 1 });
    expect(store.forwardCursor.refused(id)[0]?.line).toMatch(new RegExp(`${bad}$`));
  });

  it('continues past thirty bad lines that lead the first chunk', async () => {
    const bad = new Set(Array.from({ length: 30 }, (_, i) => `${startAt + i * 1000}000000`));
    server.isBad = (line) => bad.has(line.split(' ').at(-1) ?? '');
    await forwardAll();
    expect(forwarder.counters()).toMatchObject({ sent: 5_970, refused: 30 });
  });
});
