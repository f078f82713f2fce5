import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { openStore, type Store } from '../../../host/store/index.js';
import { firstEngineCards } from '../../../node/index.js';
import type { AlertRow } from '../../../node/link/messages.js';
import { card, movableClock, numbering, reading, startAt } from './made-readings.js';

let dataDir: string;
let time: ReturnType<typeof movableClock>;
let store: Store;
let next: ReturnType<typeof numbering>;

beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-store-'));
  time = movableClock();
  store = openStore(dataDir, time.clock);
  next = numbering();
  store.intake.take(
    next({
      kind: 'hello',
      boat: 'Invented',
      invented: true,
      engines: firstEngineCards,
      probes: [card('port-elbow'), card('sea', 'all')],
    }),
  );
  return () => store.close();
});

const second = (i: number, more = {}) =>
  next({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', startAt + i * 1000, more)] });

const reopen = () => {
  store.close();
  store = openStore(dataDir, time.clock);
};

describe('the intake', () => {
  it('answers with readings before they are committed, and with the same ones after', () => {
    for (let i = 0; i < 5; i++) store.intake.take(second(i));
    const asked = { probe: 'port-elbow', from: startAt, to: startAt + 5000 };
    const before = store.span(asked);
    expect(before).toHaveLength(5);
    store.intake.commit();
    expect(store.span(asked)).toEqual(before);
    reopen();
    expect(store.span(asked)).toEqual(before);
    expect(before[3]).toEqual(reading('port-elbow', startAt + 3000));
  });

  it('commits once in 10 s, and at once when a quality changes', () => {
    const stored: number[] = [];
    store.intake.onStored((progress) => stored.push(...progress.map((p) => p.seq)));
    store.intake.take(second(0));
    expect(stored).toEqual([2]);
    for (let i = 1; i < 10; i++) {
      time.advance(1000);
      store.intake.take(second(i));
      store.intake.tick();
    }
    expect(stored).toEqual([2]);
    time.advance(1000);
    store.intake.tick();
    expect(stored).toEqual([2, 11]);
    const open = reading('port-elbow', startAt + 10_000);
    const { temperatureC: _, uncertaintyC: __, ...bare } = open;
    store.intake.take(next({ kind: 'readings', rate: 'second', rows: [{ ...bare, quality: 'open' }] }));
    expect(stored).toEqual([2, 11, 12]);
    expect(store.intake.storedSeq('engine-room', 'boot-1')).toBe(12);
    expect(store.intake.storedSeq('engine-room', 'boot-2')).toBe(0);
  });

  it('keeps an alert from its raising to its end with every change', () => {
    const alert: AlertRow = {
      id: 'high-limit:port-elbow',
      rule: 'high-limit',
      priority: 'alarm',
      state: 'unacknowledged',
      probe: 'port-elbow',
      since: startAt + 500,
      message: 'Too hot',
      evidence: { values: { temperatureC: 95 }, thresholds: { raiseAtC: 93 } },
      actions: ['Shut down'],
    };
    const acknowledged: AlertRow = { ...alert, state: 'acknowledged', acknowledgedAt: startAt + 2000 };
    store.intake.take(next({ kind: 'alerts', at: startAt + 1000, alerts: [alert] }));
    store.intake.take(next({ kind: 'alerts', at: startAt + 2000, alerts: [acknowledged] }));
    reopen();
    store.intake.take(next({ kind: 'alerts', at: startAt + 9000, alerts: [] }));
    reopen();
    expect(store.alerts({ from: startAt, to: startAt + 10_000 })).toEqual([
      {
        node: 'engine-room',
        alert: acknowledged,
        raisedAt: startAt + 500,
        endedAt: startAt + 9000,
        history: [
          { at: startAt + 1000, alert },
          { at: startAt + 2000, alert: acknowledged },
        ],
      },
    ]);
    expect(store.alerts({ from: startAt + 9001, to: startAt + 10_000 })).toEqual([]);
  });

  it('two alarms on one probe 95 s apart are two records, each ended when its condition was over', () => {
    const alarm = (since: number): AlertRow => ({
      id: 'cooling:port',
      rule: 'high-limit',
      priority: 'alarm',
      state: 'unacknowledged',
      since: startAt + since,
      message: 'Too hot',
      evidence: { values: {}, thresholds: {} },
      actions: [],
    });
    const over = (row: AlertRow, at: number): AlertRow => ({
      ...row,
      state: 'rectified',
      rectifiedAt: startAt + at,
    });
    const say = (at: number, ...alerts: AlertRow[]) =>
      store.intake.take(next({ kind: 'alerts', at: startAt + at, alerts }));
    say(1_000, alarm(1_000));
    say(6_000, over(alarm(1_000), 6_000));
    reopen();
    const [first] = store.alerts({ from: startAt, to: startAt + 10_000 });
    expect(first).toMatchObject({ raisedAt: startAt + 1_000, endedAt: startAt + 6_000 });
    say(96_000, alarm(96_000));
    reopen();
    say(99_000, { ...alarm(96_000), state: 'acknowledged', acknowledgedAt: startAt + 99_000 });
    say(100_000, { ...over(alarm(96_000), 100_000), acknowledgedAt: startAt + 99_000 });
    say(160_000);
    reopen();
    expect(
      store
        .alerts({ from: startAt, to: startAt + 200_000 })
        .map(({ raisedAt, endedAt, history }) => [
          raisedAt - startAt,
          (endedAt ?? 0) - startAt,
          history.length,
        ]),
    ).toEqual([
      [96_000, 100_000, 3],
      [1_000, 6_000, 2],
    ]);
  });
});

describe('sealing', () => {
  it('moves hours into blocks and changes no answer', () => {
    const hours = 3;
    for (let i = 0; i < hours * 3600; i++) store.intake.take(second(i));
    store.intake.commit();
    expect(store.about().readings).toBe(hours * 3600);
    const asked = { probe: 'port-elbow', from: startAt, to: startAt + hours * 3_600_000 };
    const rows = store.span(asked);
    const envelope = store.envelope({ ...asked, everyMs: 3_600_000 });
    const fine = store.envelope({ ...asked, everyMs: 60_000 });
    time.advance(5 * 3_600_000);
    for (let i = 0; i < 20; i++) {
      time.advance(1000);
      store.intake.tick();
    }
    expect(store.about().readings).toBe(hours * 3600);
    expect(store.span(asked)).toEqual(rows);
    expect(store.envelope({ ...asked, everyMs: 3_600_000 })).toEqual(envelope);
    expect(store.envelope({ ...asked, everyMs: 60_000 })).toEqual(fine);
    expect(fine.at).toHaveLength(180);
    expect(fine.n.every((n) => n === 60)).toBe(true);
  });
});
