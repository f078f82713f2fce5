import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { backUpOnce, stoppedForMs, voyageEnd } from '../../../host/backup/after-voyage.js';
import { restoreBackup } from '../../../host/backup/restore-backup.js';
import { Live } from '../../../host/live/live.js';
import { movableClock } from '../store/made-readings.js';

let base: string;
beforeEach(() => {
  base = mkdtempSync(join(tmpdir(), 'elbowroom-stick-'));
  mkdirSync(join(base, 'boat'));
  writeFileSync(join(base, 'boat/kit.yaml'), 'kit: 1\n');
});
afterEach(() => rmSync(base, { recursive: true, force: true }));

it('a voyage is over once, when nothing ran for a quarter of an hour after something had; a lock does not end it', () => {
  const step = voyageEnd();
  expect(step(false, 0)).toBe(false);
  expect(step(false, stoppedForMs * 3), 'nothing ran yet').toBe(false);
  let now = stoppedForMs * 4;
  expect(step(true, now)).toBe(false);
  expect(step(false, now + stoppedForMs - 1), 'a lock').toBe(false);
  now += stoppedForMs - 1;
  expect(step(true, now)).toBe(false);
  expect(step(false, now + stoppedForMs)).toBe(true);
  expect(step(false, now + 2 * stoppedForMs), 'only once').toBe(false);
});

it('three voyages with two kept leave the two newest, whole; a stick that is out is a caution until one succeeds', async () => {
  const { clock, advance } = movableClock();
  const live = new Live(clock);
  const stick = join(base, 'stick');
  const once = () =>
    backUpOnce({
      settings: { to: stick, keep: 2 },
      folders: { kitPath: join(base, 'boat/kit.yaml'), dataDir: join(base, 'boat/data') },
      ...{ live, clock },
    });
  await once();
  expect(live.own.alerts()).toMatchObject([{ rule: 'backup-failed', priority: 'caution' }]);
  expect(readdirSync(base), 'no folder is made where a stick should be').not.toContain('stick');
  mkdirSync(stick);
  writeFileSync(join(stick, 'holiday.jpg'), 'not ours');
  for (let voyage = 0; voyage < 3; voyage++) {
    advance(86_400_000);
    await once();
  }
  expect(live.own.alerts().filter(({ state }) => state !== 'rectified')).toEqual([]);
  expect(readdirSync(stick).sort()).toEqual([
    'elbowroom-2026-05-03T08-00-00-000Z.tar.gz',
    'elbowroom-2026-05-04T08-00-00-000Z.tar.gz',
    'holiday.jpg',
  ]);
  const from = join(stick, 'elbowroom-2026-05-04T08-00-00-000Z.tar.gz');
  const restored = await restoreBackup({ from, folder: base, dataDir: base, clock, dryRun: true });
  expect(restored.manifest.entries.map(({ name }) => name)).toEqual(['boat/kit.yaml']);
});

it('the backup just written is kept though a clock that was set back gives it the oldest name', async () => {
  const { clock } = movableClock();
  const live = new Live(clock);
  const stick = join(base, 'stick');
  mkdirSync(stick);
  for (const year of ['2027', '2028']) writeFileSync(join(stick, `elbowroom-${year}-01-01T00.tar.gz`), year);
  const folders = { kitPath: join(base, 'boat/kit.yaml'), dataDir: join(base, 'boat/data') };
  await backUpOnce({ settings: { to: stick, keep: 2 }, folders, ...{ live, clock } });
  expect(readdirSync(stick).sort()).toEqual([
    'elbowroom-2026-05-01T08-00-00-000Z.tar.gz',
    'elbowroom-2028-01-01T00.tar.gz',
  ]);
});
