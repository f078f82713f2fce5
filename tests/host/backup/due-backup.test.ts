import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import {
  afterBreakMs,
  DueBackup,
  owedAtStartMs,
  stoppedForMs,
  tryAgainMs,
  withoutInputsMs,
} from '../../../host/backup/due-backup.js';
import { movableClock } from '../store/made-readings.js';

let dataDir: string;
let time: ReturnType<typeof movableClock>;
beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-owed-'));
  mkdirSync(join(dataDir, 'host'));
  time = movableClock();
});
afterEach(() => rmSync(dataDir, { recursive: true, force: true }));

it('waits as long as the titles here say', () => {
  const minutes = [stoppedForMs, owedAtStartMs, tryAgainMs, afterBreakMs, withoutInputsMs].map(
    (ms) => ms / 60_000,
  );
  expect(minutes).toEqual([15, 2, 5, 60, 24 * 60]);
});

const start = () => new DueBackup(dataDir, time.clock);
const made = async () => true;
const failed = async () => false;

it('a voyage is over once, when nothing ran for a quarter of an hour after something had; a lock does not end it', async () => {
  const due = start();
  time.advance(stoppedForMs * 3);
  expect(due.look('stopped'), 'nothing ran yet').toBe(false);
  expect(due.look('running')).toBe(false);
  time.advance(stoppedForMs - 1);
  expect(due.look('stopped'), 'a lock').toBe(false);
  expect(due.look('running')).toBe(false);
  time.advance(stoppedForMs);
  expect(due.look('stopped')).toBe(true);
  await due.make(made);
  time.advance(2 * stoppedForMs);
  expect(due.look('stopped'), 'only once').toBe(false);
});

it('one missed because the computer was switched off is made after the next start, though an engine runs by then', async () => {
  start().look('running');
  const next = start();
  time.advance(owedAtStartMs - 1);
  expect(next.look('unknown')).toBe(false);
  time.advance(1);
  expect(next.look('running')).toBe(true);
  await next.make(made);
  time.advance(10_000);
  expect(next.look('running'), 'of this voyage: when it is over').toBe(false);
  time.advance(stoppedForMs);
  expect(next.look('stopped')).toBe(true);
  await next.make(made);
  const third = start();
  time.advance(stoppedForMs);
  expect(third.look('stopped'), 'none is due any more').toBe(false);
});

it('a failed one is tried again every few minutes, the later the longer it took, and survives a start', async () => {
  const due = start();
  due.look('running');
  time.advance(stoppedForMs);
  for (let i = 0; i < 3; i++) {
    expect(due.look('stopped')).toBe(true);
    await due.make(failed);
    time.advance(tryAgainMs - 1);
    expect(due.look('stopped')).toBe(false);
    time.advance(1);
  }
  await due.make(async () => {
    time.advance(2 * tryAgainMs);
    return false;
  });
  time.advance(10 * tryAgainMs - 1);
  expect(due.look('stopped')).toBe(false);
  const next = start();
  time.advance(owedAtStartMs);
  expect(next.look('stopped')).toBe(true);
});

it('one that throws is one that failed, and the next is not put off by an hour', async () => {
  const due = start();
  due.look('running');
  time.advance(stoppedForMs);
  await due.make(async () => {
    throw new Error('the stick went');
  });
  time.advance(tryAgainMs - 1);
  expect(due.look('stopped')).toBe(false);
  time.advance(1);
  expect(due.look('stopped')).toBe(true);
  const next = start();
  time.advance(owedAtStartMs);
  expect(next.look('stopped')).toBe(true);
});

it('after one that the power cut or that brought the host down an hour passes before the next', () => {
  const due = start();
  due.look('running');
  void due.make(() => new Promise(() => {}));
  const next = start();
  time.advance(afterBreakMs - 1);
  expect(next.look('stopped')).toBe(false);
  time.advance(1);
  expect(next.look('stopped')).toBe(true);
});

it('without a running input one is made each day, over starts too; while no node is connected none is due', async () => {
  const due = start();
  time.advance(owedAtStartMs);
  expect(due.look('unknown')).toBe(false);
  expect(due.look('none')).toBe(true);
  await due.make(made);
  const next = start();
  time.advance(withoutInputsMs);
  expect(next.look('none')).toBe(false);
  time.advance(1);
  expect(next.look('none')).toBe(true);
});
