import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { type Exceedance, exceedanceOf } from '../../../host/replay/exceedance.js';
import { openStore } from '../../../host/store/index.js';
import { movableClock, reading, startAt } from '../store/made-readings.js';

/** Degrees of each minute of two hours: 50, but for what is named. */
const minutes = Array.from({ length: 120 }, () => 50);
// 71, a dip to 69.5 that is still within two degrees of 70, 72; then back.
minutes.splice(10, 4, 71, 69.5, 72, 60);
// Far above, once, over the end of the first hour.
minutes.splice(58, 4, 80.4, 80.4, 80.4, 80.4);

let folder: string;
let exceedance: Exceedance;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-exceedance-'));
  const store = openStore(folder, movableClock().clock);
  const rows = minutes.flatMap((temperatureC, minute) =>
    [0, 20, 40].map((s) => reading('elbow', startAt + minute * 60_000 + s * 1000, { temperatureC })),
  );
  store.bulk.rows([{ name: 'elbow', rate: 'second', rows }]);
  exceedance = await exceedanceOf(store, 'elbow', startAt - 86_400_000, startAt + 86_400_000);
  store.close();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it('counts the minutes at each degree, and the hours that hold readings', () => {
  expect(exceedance.hours).toBe(2);
  expect(exceedance.minutes.reduce((sum, count) => sum + count, 0)).toBe(120);
  expect([50, 60, 69, 71, 72, 80].map((c) => exceedance.minutes[c])).toEqual([112, 1, 1, 1, 1, 4]);
});

it.each([
  [50, 1],
  // 71 and 72 are one passing of 70, since 69.5 is not two degrees below; the 80.4 is another.
  [70, 2],
  [72, 2],
  [73, 1],
  [80, 1],
  [81, undefined],
])('a limit at %d C would have been passed %s times', (limit, times) => {
  expect(exceedance.passed[limit] || undefined).toBe(times);
});
