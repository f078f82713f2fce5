import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, it } from 'vitest';
import { openStore, openStoreToRead } from '../../../host/store/index.js';
import { systemClock } from '../../../node/time/clock.js';
import { card, numbering, reading, startAt } from './made-readings.js';

const freshFolder = () => mkdtempSync(join(tmpdir(), 'elbowroom-quantities-'));
const pump = (i: number, pressureKpa: number) => ({
  probe: 'port-pump',
  at: startAt + i * 1000,
  pressureKpa,
  uncertaintyKpa: 0.4,
  raw: 1.5,
  rawUnit: 'volt' as const,
  quality: 'good' as const,
});

it('keeps a pressure as a pressure, before the commit, after it and sealed, and gives its envelope in kPa', () => {
  const store = openStore(freshFolder(), systemClock);
  const next = numbering();
  const rows = Array.from({ length: 120 }, (_, i) => pump(i, 50 + (i % 2)));
  store.intake.take(next({ kind: 'readings', rate: 'second', rows }));
  const asked = { probe: 'port-pump', from: startAt, to: startAt + 120_000 };
  store.intake.commit();
  expect(store.span(asked)).toEqual(rows);
  store.bulk.rows([
    { name: 'port-pump', rate: 'second', rows: rows.map((r) => ({ ...r, at: r.at + 3_600_000 })) },
  ]);
  const { quantity, n, min, mean, max } = store.values({ ...asked, everyMs: 60_000 });
  expect([quantity, n, min, mean, max]).toEqual(['pressure', [60, 60], [50, 50], [50.5, 50.5], [51, 51]]);
  expect(() => store.envelope({ ...asked, everyMs: 60_000 })).toThrow(/measures pressure, not temperature/);
  store.close();
});

it('refuses a temperature under the id of a pressure probe, and counts it', () => {
  const store = openStore(freshFolder(), systemClock);
  const next = numbering();
  store.intake.take(next({ kind: 'readings', rate: 'second', rows: [pump(0, 50)] }));
  store.intake.commit();
  store.intake.take(next({ kind: 'readings', rate: 'second', rows: [reading('port-pump', startAt + 9000)] }));
  store.intake.commit();
  expect(store.about().refusedRows).toBe(1);
  expect(store.span({ probe: 'port-pump', from: 0, to: 9e15 })).toEqual([pump(0, 50)]);
  store.close();
});

it('refuses an import that holds two quantities under one id, and keeps nothing of it', () => {
  const store = openStore(freshFolder(), systemClock);
  const rows = [pump(0, 50), { ...reading('port-pump', startAt + 1000) }];
  expect(() => store.bulk.rows([{ name: 'port-pump', rate: 'second', rows }])).toThrow(/another quantity/);
  expect(store.about().readings).toBe(0);
  store.close();
});

it('a probe that was missing at first may still turn out to measure pressure', () => {
  const store = openStore(freshFolder(), systemClock);
  const next = numbering();
  const open = { probe: 'port-pump', at: startAt, quality: 'open' as const };
  store.intake.take(next({ kind: 'readings', rate: 'second', rows: [open] }));
  store.intake.commit();
  store.intake.take(next({ kind: 'readings', rate: 'second', rows: [pump(1, 50)] }));
  store.intake.commit();
  expect(store.span({ probe: 'port-pump', from: 0, to: 9e15 })).toEqual([open, pump(1, 50)]);
  store.close();
});

it('opens a file of the first layout, to read as it is and to write after bringing it up', () => {
  const folder = freshFolder();
  const made = openStore(folder, systemClock);
  made.intake.take(
    numbering()({
      kind: 'hello',
      boat: 'Invented',
      invented: true,
      engines: [],
      probes: [card('port-elbow')],
    }),
  );
  made.intake.commit();
  made.close();
  const file = new Database(join(folder, 'elbowroom.sqlite'));
  file.exec('DROP TABLE quantity');
  file.pragma('user_version = 1');
  file.close();
  const reader = openStoreToRead(folder, systemClock);
  expect(reader.probes().map(({ quantity }) => quantity)).toEqual(['temperature']);
  reader.close();
  const store = openStore(folder, systemClock);
  store.bulk.rows([{ name: 'port-pump', rate: 'second', rows: [pump(0, 50)] }]);
  expect(store.probes().map(({ quantity }) => quantity)).toEqual(['temperature', 'pressure']);
  store.close();
});
