import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { startGuard } from '../../../node/guard/guard.js';
import { readStateFile, StateFile } from '../../../node/run/state-file.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-state-'));
afterAll(() => rmSync(folder, { recursive: true }));
const clockAt = (wallMs: number) => ({ monotonicMs: () => asMonotonicMs(0), wallMs: () => asWallMs(wallMs) });
const stateAt = (ms: number) => startGuard(asMonotonicMs(ms));

test('what was saved last is read back, with how long the node was down; the folder is made', async () => {
  const path = join(folder, 'new', 'deeper', 'state.json');
  const troubles: Error[] = [];
  const file = new StateFile(path, clockAt(1_000_000), (error) => troubles.push(error));
  for (let i = 0; i < 50; i++) file.save(stateAt(i));
  await file.settled();
  expect(troubles).toEqual([]);
  expect(readStateFile(path, clockAt(1_007_500))).toEqual({ guard: stateAt(49), awayMs: 7_500 });
  expect(existsSync(`${path}.new`)).toBe(false);
});

test('a wall clock that went back in between counts as no time down', async () => {
  const path = join(folder, 'back.json');
  const file = new StateFile(path, clockAt(1_000_000), () => {});
  file.save(stateAt(1));
  await file.settled();
  expect(readStateFile(path, clockAt(0))?.awayMs).toBe(0);
});

test('no file is nothing to remember; a damaged one is something that is not a state', () => {
  const path = join(folder, 'damaged.json');
  expect(readStateFile(join(folder, 'none.json'), clockAt(0))).toBeUndefined();
  for (const text of ['', '{"layout":1,"writ', '[]', '{"layout":2,"writtenAt":1,"guard":{}}']) {
    writeFileSync(path, text);
    expect(readStateFile(path, clockAt(0))).toEqual({ guard: undefined, awayMs: 0 });
  }
});

test('one byte that was changed anywhere in the file makes it a damaged one, or changes nothing of what is read', async () => {
  const path = join(folder, 'flipped.json');
  const file = new StateFile(path, clockAt(1_000), () => {});
  file.save(stateAt(7));
  await file.settled();
  const whole = readFileSync(path);
  const verdicts = { damaged: 0, same: 0 };
  for (let at = 0; at < whole.length; at++)
    for (const bit of [0x01, 0x10]) {
      const bytes = Buffer.from(whole);
      bytes[at] = (bytes[at] as number) ^ bit;
      writeFileSync(path, bytes);
      const read = readStateFile(path, clockAt(1_000));
      if (read?.guard === undefined) verdicts.damaged++;
      else {
        expect(read.guard).toEqual(stateAt(7));
        verdicts.same++;
      }
    }
  expect(verdicts.damaged).toBeGreaterThan(whole.length);
});

test('the file of an earlier version is read', () => {
  const path = join(folder, 'first.json');
  writeFileSync(path, JSON.stringify({ layout: 1, writtenAt: 1_000, guard: stateAt(7) }));
  expect(readStateFile(path, clockAt(3_000))).toEqual({ guard: stateAt(7), awayMs: 2_000 });
});

test('a disk that fails is reported once, not at every save, and again after it has worked in between', async () => {
  // A file is where the folder should be: that fails for root too.
  const blocked = join(folder, 'blocked');
  writeFileSync(blocked, '');
  const troubles: Error[] = [];
  const file = new StateFile(join(blocked, 'state.json'), clockAt(0), (error) => troubles.push(error));
  for (let i = 0; i < 3; i++) {
    file.save(stateAt(i));
    await file.settled();
  }
  expect(troubles).toHaveLength(1);
  rmSync(blocked);
  file.save(stateAt(4));
  await file.settled();
  expect(readStateFile(join(blocked, 'state.json'), clockAt(0))?.guard).toMatchObject({ atMs: 4 });
});
