import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { beforeEach, describe, expect, it } from 'vitest';
import { openStore, openStoreToRead, type Store } from '../../../host/store/index.js';
import { firstEngineCards } from '../../../node/index.js';
import type { NodeMessage } from '../../../node/link/messages.js';
import { card, movableClock, numbering, reading, startAt } from './made-readings.js';

let store: Store;
let time: ReturnType<typeof movableClock>;
let next: ReturnType<typeof numbering>;

beforeEach(() => {
  time = movableClock();
  store = openStore(mkdtempSync(join(tmpdir(), 'elbowroom-logs-')), time.clock);
  next = numbering();
  const probes = [card('port-elbow'), card('port-exhaust', 'port', 'dry-exhaust')];
  store.intake.take(
    next({ kind: 'hello', boat: 'Invented', invented: true, engines: firstEngineCards, probes }),
  );
  return () => store.close();
});

const status = (second: number, port: boolean | undefined): NodeMessage => ({
  kind: 'status',
  at: startAt + second * 1000,
  board: 'connected',
  boardDetail: '',
  running: port === undefined ? {} : { port },
  counters: { framesLost: 0, boardRefused: 0, boardReconnects: 0, passes: 0 },
});

const span = { from: startAt, to: startAt + 86_400_000 };

describe('hours run', () => {
  it('come from the running input: 1 h 30 min in two runs, a silence of 10 min not counted', () => {
    for (let s = 0; s <= 3600; s += 5) store.intake.take(next(status(s, true)));
    for (let s = 4200; s <= 6000; s += 5) store.intake.take(next(status(s, true)));
    store.intake.take(next(status(6005, false)));
    for (let s = 6010; s <= 7000; s += 5) store.intake.take(next(status(s, false)));
    store.intake.commit();
    const [port, starboard] = store.hoursRun(span);
    expect(port?.basis).toBe('running-input');
    expect(port?.hours).toBeCloseTo((3600 + 1805) / 3600, 6);
    expect(starboard).toEqual({ engine: 'starboard', name: 'Starboard', hours: 0, basis: 'none' });
    const half = store.hoursRun({ from: startAt + 1800_000, to: startAt + 3600_000 });
    expect(half[0]?.hours).toBeCloseTo(0.5, 6);
  });

  const spans = () =>
    store
      .runSpans({ ...span, engine: 'port' })
      .map(({ startAt: from, endAt }) => [(from - startAt) / 1000, (endAt - startAt) / 1000]);
  /** The node reports every 5 s, and at once when a level changes. */
  const runs = (from: number, to: number, level: boolean | undefined) => {
    for (let s = from; s < to; s += 5) store.intake.take(next(status(s, level)));
  };

  it('leave out a stop of 20 s: the engine that starts again begins another run', () => {
    runs(0, 600, true);
    runs(600, 620, false);
    runs(620, 1200, true);
    runs(1200, 1300, false);
    store.intake.commit();
    expect(spans()).toEqual([
      [0, 600],
      [620, 1200],
    ]);
    expect(store.hoursRun(span)[0]?.hours).toBeCloseTo(1180 / 3600, 6);
  });

  it('leave out a stop of 20 s that a commit and a restart of the host lie in', () => {
    runs(0, 600, true);
    runs(600, 610, false);
    store.intake.commit();
    const folder = dirname(store.about().path);
    store.close();
    store = openStore(folder, time.clock);
    runs(610, 620, false);
    runs(620, 1200, true);
    store.intake.commit();
    expect(spans()).toEqual([
      [0, 600],
      [620, 1195],
    ]);
  });

  it('continue over 40 s in which the input was unknown, and are over after 65 s', () => {
    runs(0, 600, true);
    runs(600, 635, undefined);
    runs(635, 700, true);
    runs(700, 760, undefined);
    runs(760, 800, true);
    store.intake.commit();
    expect(spans()).toEqual([
      [0, 695],
      [760, 795],
    ]);
  });

  it('are at most two for an input that chatters for four hours, however fast', () => {
    for (const halfPeriodS of [1, 4, 10, 30, 55]) {
      const folder = mkdtempSync(join(tmpdir(), 'elbowroom-chatter-'));
      const chatters = openStore(folder, time.clock);
      const number = numbering();
      chatters.intake.take(number(status(0, true)));
      for (let s = 600, level = false; s < 4 * 3600; s += halfPeriodS, level = !level) {
        // The report of every 5 s between the changes.
        chatters.intake.take(number(status(s, level)));
        for (let t = s + 5; t < s + halfPeriodS; t += 5) chatters.intake.take(number(status(t, level)));
      }
      chatters.intake.commit();
      expect(chatters.runSpans({ ...span, engine: 'port' }).length, `${halfPeriodS} s`).toBeLessThanOrEqual(
        2,
      );
      chatters.close();
    }
  });

  it('come from the exhaust gas where there is no running input: 2 h above 100 C', () => {
    const rows = Array.from({ length: 4 * 3600 }, (_, i) =>
      reading('port-exhaust', startAt + i * 1000, { temperatureC: i >= 1800 && i < 9000 ? 280 : 35 }),
    );
    store.bulk.rows([{ name: 'port-exhaust', node: 'engine-room', rate: 'second', rows }]);
    expect(store.hoursRun(span)[0]).toMatchObject({ engine: 'port', hours: 2, basis: 'exhaust-gas' });
  });
});

describe('steps of a node’s clock', () => {
  const hourMs = 3_600_000;
  const stepped = (message: NodeMessage, clockSteppedMs: number) =>
    store.intake.take({ ...next(message), ...(clockSteppedMs !== 0 && { clockSteppedMs }) });

  it('are noted with the time before and after, once, whatever is said of them afterwards', () => {
    stepped(status(0, true), 0);
    stepped(status(5 - 3600, true), -hourMs);
    stepped(status(10 - 3600, true), -hourMs);
    stepped(status(15 - 3600 + 86_400, true), 23 * hourMs);
    store.intake.commit();
    expect(store.clockSteps({ from: 0, to: startAt + 2 * 86_400_000 })).toEqual([
      {
        node: 'engine-room',
        boot: expect.any(String),
        beforeAt: startAt + 5000,
        afterAt: startAt + 5000 - hourMs,
        stepMs: -hourMs,
      },
      {
        node: 'engine-room',
        boot: expect.any(String),
        beforeAt: startAt + 15_000 - hourMs,
        afterAt: startAt + 15_000 - hourMs + 24 * hourMs,
        stepMs: 24 * hourMs,
      },
    ]);
    // A span sees a step by the clock on either side of it.
    expect(store.clockSteps({ from: startAt, to: startAt + 6000 })).toHaveLength(2);
    expect(store.clockSteps({ from: startAt + 25 * hourMs, to: startAt + 26 * hourMs })).toEqual([]);
  });

  it('are not noted again by a host that was started again, nor for another start of the node', () => {
    stepped(status(0, true), -hourMs);
    store.intake.commit();
    const folder = dirname(store.about().path);
    store.close();
    store = openStore(folder, time.clock);
    stepped(status(5, true), -hourMs);
    store.intake.take({ ...next(status(10, true)), boot: 'another' });
    store.intake.commit();
    expect(store.clockSteps(span)).toHaveLength(1);
  });

  it('are noted in a store that was made before there was a place for them, and are none in it while it is only read', () => {
    const folder = dirname(store.about().path);
    store.close();
    const file = new Database(join(folder, 'elbowroom.sqlite'));
    file.exec('DROP TABLE clockStep');
    file.close();
    const reader = openStoreToRead(folder, time.clock);
    expect(reader.clockSteps(span)).toEqual([]);
    reader.close();
    store = openStore(folder, time.clock);
    stepped(status(0, true), hourMs);
    store.intake.commit();
    expect(store.clockSteps(span)).toMatchObject([{ stepMs: hourMs }]);
  });
});

describe('the other tables', () => {
  it('keep full-rate readings apart from those once a second, and find them around an alert', () => {
    const raisedAt = startAt + 600_000;
    const full = Array.from({ length: 1800 }, (_, i) => reading('port-elbow', raisedAt - 60_000 + i * 100));
    store.intake.take(next({ kind: 'readings', rate: 'episode', rows: full }));
    store.intake.take(next({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', raisedAt)] }));
    expect(store.span({ ...span, probe: 'port-elbow' })).toHaveLength(1);
    store.intake.commit();
    const episode = store.episode({ raisedAt }).find((e) => e.probe === 'port-elbow');
    expect(episode?.rows).toEqual(full);
    expect(store.envelope({ ...span, probe: 'port-elbow', atMost: 10 }).n.reduce((a, b) => a + b)).toBe(1);
  });

  it('count a reading that falls on a taken millisecond, and an invalid row', () => {
    const row = reading('port-elbow', startAt);
    store.intake.take(next({ kind: 'readings', rate: 'second', rows: [row, { ...row, temperatureC: 1 }] }));
    store.intake.take(next({ kind: 'readings', rate: 'second', rows: [{ ...row, at: -5 }] }));
    store.intake.commit();
    expect(store.about()).toMatchObject({ readings: 1, collisions: 1, refusedRows: 1 });
    expect(store.span({ ...span, probe: 'port-elbow' })).toEqual([row]);
  });

  it('take a late row into an hour that is being sealed, and into one that is', () => {
    for (let i = 0; i < 3600; i++)
      if (i !== 100 && i !== 200)
        store.intake.take(
          next({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', startAt + i * 1000)] }),
        );
    store.intake.commit();
    time.advance(5 * 3_600_000);
    store.intake.tick();
    const late = (i: number) => {
      store.intake.take(
        next({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', startAt + i * 1000)] }),
      );
      store.intake.commit();
    };
    late(100);
    const drain = () => {
      for (let i = 0; i < 6; i++) {
        time.advance(1000);
        store.intake.tick();
      }
    };
    drain();
    late(200);
    drain();
    const rows = store.span({ ...span, probe: 'port-elbow' });
    expect(rows.map((r) => (r.at - startAt) / 1000)).toEqual(Array.from({ length: 3600 }, (_, i) => i));
    expect(store.envelope({ ...span, probe: 'port-elbow', everyMs: 3_600_000 }).n[0]).toBe(3600);
  });

  it('keep the service log in order of time', () => {
    const work = { engine: 'port', work: 'impeller', restartsBaseline: true } as const;
    const second = store.service.add({ at: startAt + 2, ...work, note: 'two vanes gone' });
    const first = store.service.add({ at: startAt + 1, ...work });
    expect(store.service.entries()).toEqual([first, second]);
    expect(store.service.entries({ from: startAt + 2 })).toEqual([second]);
  });

  it('refuse history whose columns do not fit, and say which', () => {
    const at = Float64Array.of(startAt, startAt + 1000);
    const history = { node: 'n', probe: 'sea', at, temperatureC: Float64Array.of(1) };
    expect(() => store.addHistory(history)).toThrow(/2 times and a column of 1/);
    const hot = { ...history, temperatureC: Float64Array.of(1, Number.NaN) };
    expect(() => store.addHistory(hot)).toThrow(/temperature NaN at place 1/);
    const missing = { ...hot, quality: ['good', 'open'] as const };
    expect(store.addHistory(missing)).toEqual({ added: 2, already: 0, differing: 0 });
    expect(store.span({ ...span, probe: 'sea' })).toEqual([
      { probe: 'sea', at: startAt, temperatureC: 1, quality: 'good' },
      { probe: 'sea', at: startAt + 1000, quality: 'open' },
    ]);
  });
});
