import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { openStore, openStoreToRead, StoreError } from '../../../host/store/index.js';
import { systemClock } from '../../../node/time/clock.js';
import { reading, startAt } from './made-readings.js';

const freshFolder = () => mkdtempSync(join(tmpdir(), 'elbowroom-opening-'));
const fileIn = (folder: string) => join(folder, 'elbowroom.sqlite');

const filled = () => {
  const folder = freshFolder();
  const store = openStore(folder, systemClock);
  const rows = Array.from({ length: 20_000 }, (_, i) => reading('port-elbow', startAt + i * 1000));
  store.bulk.rows([{ name: 'port-elbow', rate: 'second', rows }]);
  store.close();
  return folder;
};

const refusal = (folder: string): StoreError => {
  try {
    openStore(folder, systemClock).close();
  } catch (error) {
    if (error instanceof StoreError) return error;
    throw error;
  }
  throw new Error('it opened');
};

/** Opening must fail with this code, and the file must be the same afterwards, byte for byte. */
const expectRefused = (folder: string, code: string, words: RegExp) => {
  const before = readFileSync(fileIn(folder));
  const error = refusal(folder);
  expect(error.code).toBe(code);
  expect(error.message).toMatch(words);
  expect(error.message).toContain(fileIn(folder));
  expect(readFileSync(fileIn(folder)).equals(before)).toBe(true);
};

describe('a file that is not a sound store is refused and left as it is', () => {
  it('a text file', () => {
    const folder = freshFolder();
    writeFileSync(fileIn(folder), 'Dear diary, '.repeat(1000));
    expectRefused(folder, 'not-a-store', /is not a database/);
  });

  it('a database of another program', () => {
    const folder = freshFolder();
    const other = new Database(fileIn(folder));
    other.exec('CREATE TABLE cats(name TEXT); INSERT INTO cats VALUES (1)');
    other.close();
    expectRefused(folder, 'not-a-store', /database of another program/);
  });

  it('a store of a later version', () => {
    const folder = filled();
    const file = new Database(fileIn(folder));
    file.pragma('user_version = 99');
    file.close();
    expectRefused(folder, 'store-too-new', /layout 99; this program knows layout 2/);
  });

  it('a store with a page overwritten', () => {
    const folder = filled();
    const bytes = readFileSync(fileIn(folder));
    bytes.fill(0xa5, 4096 * 9, 4096 * 10);
    writeFileSync(fileIn(folder), bytes);
    expectRefused(folder, 'store-damaged', /is damaged/);
  });

  it('a store cut short', () => {
    const folder = filled();
    writeFileSync(fileIn(folder), readFileSync(fileIn(folder)).subarray(0, 4096 * 10));
    expectRefused(folder, 'store-damaged', /is damaged/);
  });
});

describe('opening', () => {
  it('a bit flipped inside a block is found when the hour is read, and the other hours are whole', () => {
    const folder = filled();
    const file = new Database(fileIn(folder));
    const { id, trace } = file.prepare('SELECT id, trace FROM block ORDER BY hour LIMIT 1').get() as {
      id: number;
      trace: Buffer;
    };
    trace[100] = (trace[100] ?? 0) ^ 1;
    file.prepare('UPDATE block SET trace = ? WHERE id = ?').run(trace, id);
    file.close();
    const store = openStore(folder, systemClock);
    const asked = { probe: 'port-elbow', from: startAt, to: startAt + 3_600_000 };
    expect(() => store.span(asked)).toThrow(/hour from 2026-05-01T08:00:00.000Z of port-elbow is damaged/);
    expect(() => store.envelope({ ...asked, everyMs: 60_000 })).toThrow(/is damaged/);
    expect(store.span({ ...asked, from: asked.to, to: asked.to + 3_600_000 })).toHaveLength(3600);
    store.close();
  });

  it('says that the data folder cannot be written, and where', () => {
    const folder = freshFolder();
    writeFileSync(join(folder, 'in-the-way'), '');
    const error = refusal(join(folder, 'in-the-way', 'data'));
    expect(error.code).toBe('folder-not-writable');
    expect(error.message).toMatch(/Cannot write in the data folder .*in-the-way.*--data-dir/);
    expect(error.errorCategory).toBe('unavailable');
  });

  it('to read says that there is none, and makes none', () => {
    const folder = join(freshFolder(), 'nothing-here');
    mkdirSync(folder);
    expect(() => openStoreToRead(folder, systemClock)).toThrow(/There is no store in/);
    expect(() => readFileSync(fileIn(folder))).toThrow();
  });

  it('copies the store while another writes, and the copy is a store', async () => {
    const folder = filled();
    const writer = openStore(folder, systemClock);
    const reader = openStoreToRead(folder, systemClock);
    const copy = freshFolder();
    await reader.copyTo(fileIn(copy));
    writer.close();
    reader.close();
    const copied = openStore(copy, systemClock);
    expect(copied.about().readings).toBe(20_000);
    copied.close();
  });

  it('a reader that holds still sees one moment, whatever is written meanwhile', () => {
    const folder = filled();
    const reader = openStoreToRead(folder, systemClock);
    reader.holdStill();
    const writer = openStore(folder, systemClock);
    writer.bulk.rows([
      { name: 'port-elbow', rate: 'second', rows: [reading('port-elbow', startAt + 90_000_000)] },
    ]);
    writer.close();
    expect(reader.about().readings).toBe(20_000);
    reader.close();
  });
});
