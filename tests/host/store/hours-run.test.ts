import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openStore } from '../../../host/store/index.js';
import { next, reopenStore, span, status, store, time, withFreshStore } from './fresh-store.js';

withFreshStore();

import { numbering, reading, startAt } from './made-readings.js';

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
    reopenStore();
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
