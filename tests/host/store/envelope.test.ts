import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openStore } from '../../../host/store/index.js';
import { bucketWidth, bucketWidthsMs } from '../../../host/store/queries/envelope.js';
import { firstEngineCards } from '../../../node/index.js';
import type { ReadingRow } from '../../../node/link/messages.js';
import { card, movableClock, numbering, reading, startAt } from './made-readings.js';

const minute = 60_000;
const hour = 60 * minute;

/** Three hours in blocks, half an hour in recent rows, the last minute waiting for its commit; some readings missing. */
const threePlaces = () => {
  const time = movableClock();
  const store = openStore(mkdtempSync(join(tmpdir(), 'elbowroom-envelope-')), time.clock);
  const next = numbering();
  const rows: ReadingRow[] = Array.from({ length: 12_660 }, (_, i) => {
    const row = reading('port-elbow', startAt + i * 1000);
    return i % 50 === 7 ? { probe: row.probe, at: row.at, quality: 'open' } : row;
  });
  store.intake.take(
    next({
      kind: 'hello',
      boat: 'I',
      invented: true,
      engines: firstEngineCards,
      probes: [card('port-elbow')],
    }),
  );
  store.bulk.rows([{ name: 'port-elbow', node: 'engine-room', rate: 'second', rows: rows.slice(0, 10_800) }]);
  store.intake.take(next({ kind: 'readings', rate: 'second', rows: rows.slice(10_800, 12_600) }));
  store.intake.commit();
  for (const row of rows.slice(12_600))
    store.intake.take(next({ kind: 'readings', rate: 'second', rows: [row] }));
  return { store, rows };
};

const naive = (rows: readonly ReadingRow[], at: number, width: number) => {
  const inside = rows.filter((r) => r.at >= at && r.at < at + width);
  const good = inside.flatMap((r) => (r.temperatureC === undefined ? [] : [r.temperatureC]));
  return {
    n: good.length,
    missing: inside.length - good.length,
    min: good.length ? Math.min(...good) : undefined,
    max: good.length ? Math.max(...good) : undefined,
    mean: good.length ? good.reduce((a, b) => a + b, 0) / good.length : undefined,
  };
};

describe('an envelope', () => {
  it('agrees with every reading counted by hand, at every width, over sealed, recent and waiting readings alike', () => {
    const { store, rows } = threePlaces();
    for (const everyMs of [10_000, minute, 15 * minute, 50 * minute, hour, 2 * hour]) {
      const from = startAt + 17 * minute;
      const to = startAt + 4 * hour;
      const e = store.envelope({ probe: 'port-elbow', from, to, everyMs });
      expect(e.at[0]).toBe(Math.floor(from / everyMs) * everyMs);
      let worst = 0;
      e.at.forEach((at, i) => {
        const expected = naive(rows, at, everyMs);
        expect([e.n[i], e.missing[i], e.minC[i], e.maxC[i]]).toEqual([
          expected.n,
          expected.missing,
          expected.min,
          expected.max,
        ]);
        worst = Math.max(worst, Math.abs((e.meanC[i] ?? 0) - (expected.mean ?? 0)));
      });
      expect(worst).toBeLessThan(1e-9);
    }
    store.close();
  });

  it('chooses whole widths, the narrowest that fits', () => {
    expect(bucketWidth(0, hour, 1000)).toBe(5_000);
    expect(bucketWidth(0, 24 * hour, 1000)).toBe(2 * minute);
    expect(bucketWidth(0, 1500 * hour, 1000)).toBe(2 * hour);
    expect(bucketWidth(0, 1e13, 1000) % (7 * 24 * hour)).toBe(0);
    for (const width of bucketWidthsMs)
      expect([hour % width, width % hour].includes(0), `${width} divides the hour or is divided by it`).toBe(
        true,
      );
  });

  it('is empty, not wrong, for a probe that never sent', () => {
    const { store } = threePlaces();
    const e = store.envelope({ probe: 'port-elbow', from: 0, to: hour, atMost: 10 });
    expect(e.n.every((n) => n === 0)).toBe(true);
    expect(e.meanC.every((mean) => mean === undefined)).toBe(true);
    expect(() => store.envelope({ probe: 'funnel', from: 0, to: 1 })).toThrow(
      /no probe funnel. It has: port-elbow/,
    );
    expect(() => store.envelope({ probe: 'port-elbow', from: 2, to: 1 })).toThrow(/from before to/);
    store.close();
  });
});
