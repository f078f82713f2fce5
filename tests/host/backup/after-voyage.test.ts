import { spawnSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { backUpOnce, backupAfterVoyages, enginesOf } from '../../../host/backup/after-voyage.js';
import { owedAtStartMs, withoutInputsMs } from '../../../host/backup/due-backup.js';
import { restoreBackup } from '../../../host/backup/restore-backup.js';
import { boatInName, mayBeDeleted, requireOtherFileSystem } from '../../../host/backup/stick.js';
import { Live } from '../../../host/live/live.js';
import { movableClock } from '../store/made-readings.js';

let base: string;
/** On another disk than the boat's files, as a stick is: the memory of Linux. */
let disk: string;
let stick: string;
beforeEach(() => {
  base = mkdtempSync(join(tmpdir(), 'elbowroom-boat-'));
  disk = mkdtempSync('/dev/shm/elbowroom-stick-');
  stick = join(disk, 'stick');
  mkdirSync(join(base, 'boat/data'), { recursive: true });
  writeFileSync(join(base, 'boat/kit.yaml'), 'kit: 1\nboat: { name: Luna Nova }\n');
});
afterEach(() => {
  for (const folder of [base, disk]) rmSync(folder, { recursive: true, force: true });
});

const options = (keep: number) => {
  const { clock, advance } = movableClock();
  const live = new Live(clock);
  const folders = { kitPath: join(base, 'boat/kit.yaml'), dataDir: join(base, 'boat/data') };
  const once = () => backUpOnce({ settings: { to: stick, keep }, folders, live, clock });
  const active = () => live.own.alerts().filter(({ state }) => state !== 'rectified');
  return { clock, advance, once, active };
};

it('three voyages with two kept leave the two newest, whole, and another boat’s; a stick that is out is a caution until one succeeds', async () => {
  const { clock, advance, once, active } = options(2);
  expect(await once()).toBe(false);
  expect(active()).toMatchObject([{ rule: 'backup-failed', priority: 'caution' }]);
  expect(readdirSync(disk), 'no folder is made where a stick should be').toEqual([]);
  mkdirSync(stick);
  const notOurs = [
    'elbowroom-2026-01-01T08-00-00-000Z.tar.gz',
    'elbowroom-luna-2026-01-01T08-00-00-000Z.tar.gz',
    'elbowroom-selkie-2026-01-01T08-00-00-000Z.tar.gz',
    'holiday.jpg',
  ];
  for (const name of notOurs) writeFileSync(join(stick, name), 'not ours');
  for (let voyage = 0; voyage < 3; voyage++) {
    advance(86_400_000);
    expect(await once()).toBe(true);
  }
  expect(active()).toEqual([]);
  const newest = 'elbowroom-luna-nova-2026-05-04T08-00-00-000Z.tar.gz';
  expect(readdirSync(stick).sort()).toEqual(
    [...notOurs, 'elbowroom-luna-nova-2026-05-03T08-00-00-000Z.tar.gz', newest].sort(),
  );
  const from = join(stick, newest);
  const restored = await restoreBackup({ from, folder: base, dataDir: base, clock, dryRun: true });
  expect(restored.manifest.entries.map(({ name }) => name)).toEqual(['boat/kit.yaml']);
});

it('the backup just written is kept though a clock that was set back gives it the oldest name', async () => {
  mkdirSync(stick);
  for (const year of ['2027', '2028'])
    writeFileSync(join(stick, `elbowroom-luna-nova-${year}-01-01T00.tar.gz`), year);
  await options(2).once();
  expect(readdirSync(stick).sort()).toEqual([
    'elbowroom-luna-nova-2026-05-01T08-00-00-000Z.tar.gz',
    'elbowroom-luna-nova-2028-01-01T00.tar.gz',
  ]);
});

it('an empty folder on the file system of the boat’s data, where a stick should be, is a caution and nothing is written to it', async () => {
  stick = join(base, 'media-stick');
  mkdirSync(stick);
  const { once, active } = options(2);
  await once();
  expect(readdirSync(stick)).toEqual([]);
  expect(active()).toMatchObject([
    { message: expect.stringMatching(/file system of the boat’s own data.*no stick/) },
  ]);
  expect(() => requireOtherFileSystem(disk, base)).not.toThrow();
  // The data on a disk of its own does not make an empty folder of the system's disk a stick.
  expect(() => requireOtherFileSystem('/media', disk)).toThrow(/no stick/);
});

it('a full stick is a caution that says which backups may be deleted: the older ones of this boat', async ({
  skip,
}) => {
  mkdirSync(stick);
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=64k', 'none', stick]).status === 0;
  skip(!mounted, 'needs root, to mount a small disk');
  try {
    for (const year of ['2023', '2024', '2025'])
      writeFileSync(join(stick, `elbowroom-luna-nova-${year}-01-01T00.tar.gz`), year);
    writeFileSync(join(stick, 'elbowroom-selkie-2023-01-01T00.tar.gz'), 'another boat');
    writeFileSync(join(base, 'boat/data/history'), randomBytes(200_000));
    const { advance, once, active } = options(2);
    await once();
    const said = active()[0]?.actions.join(' ');
    expect(said).toContain(
      'elbowroom-luna-nova-2023-01-01T00.tar.gz, elbowroom-luna-nova-2024-01-01T00.tar.gz.',
    );
    expect(said).not.toMatch(/2025|selkie/);
    for (const year of ['2023', '2024', '2025'])
      renameSync(
        join(stick, `elbowroom-luna-nova-${year}-01-01T00.tar.gz`),
        join(stick, `elbowroom-${year}-01-01T00.tar.gz`),
      );
    advance(1_000);
    await once();
    expect(active()[0]?.actions[0]).toBe(
      'Make room on the stick. Delete no backup of this boat: use another stick.',
    );
  } finally {
    spawnSync('umount', [stick]);
  }
});

describe('which files of a full stick may be deleted', () => {
  const named = (year: number, boat = 'luna-nova') => `elbowroom-${boat}-${year}-01-01T00.tar.gz`;
  const nameless = (year: number) => `elbowroom-${year}-01-01T00.tar.gz`;
  const among = (...names: string[]) => {
    mkdirSync(stick);
    for (const name of names) writeFileSync(join(stick, name), '');
    return mayBeDeleted('luna-nova', stick);
  };

  it('none while no file names this boat: the nameless ones may be its only backups', () => {
    expect(among(nameless(2023), nameless(2024), nameless(2025), named(2026, 'selkie'))).toEqual({
      ours: [],
      nameless: [],
    });
  });

  it('all of this boat’s but the newest, and apart from them the nameless ones older than it', () => {
    expect(among(nameless(2023), named(2024), named(2025), nameless(2026), named(2022, 'selkie'))).toEqual({
      ours: [named(2024)],
      nameless: [nameless(2023)],
    });
  });

  it('none when the stick went meanwhile', () => {
    expect(mayBeDeleted('luna-nova', stick)).toEqual({ ours: [], nameless: [] });
  });
});

it('says as a caution what the kit names outside of the boat’s folder', async () => {
  mkdirSync(stick);
  writeFileSync(join(base, 'boat/kit.yaml'), 'kit: 1\nbaseline: ../far.yaml\nprobes: []\n');
  const { once, active } = options(2);
  await once();
  expect(active()).toMatchObject([
    { rule: 'backup-incomplete', message: expect.stringContaining('../far.yaml') },
  ]);
});

it('names the boat in letters and digits only', () => {
  for (const [name, part] of [
    ["'Il Più/../Bello'", 'il-più-bello'],
    ['"Ελπίς 2"', 'ελπίς-2'],
    ['"..."', 'boat'],
  ]) {
    writeFileSync(join(base, 'k.yaml'), `boat: { name: ${name} }\n`);
    expect(boatInName(join(base, 'k.yaml'))).toBe(part);
  }
  expect(boatInName(join(base, 'none.yaml'))).toBe('boat');
});

it('knows nothing of engines from a node that is not connected, and that there may be no running input', () => {
  const node = (connected: boolean, running?: Record<string, boolean>) =>
    ({ connected, ...(running && { status: { running } }) }) as unknown as Parameters<typeof enginesOf>[0][0];
  expect(enginesOf([])).toBe('unknown');
  expect(enginesOf([node(false, { port: true })])).toBe('unknown');
  expect(enginesOf([node(true, {}), node(true)])).toBe('none');
  expect(enginesOf([node(true, { port: false }), node(false, { wing: true })])).toBe('stopped');
  expect(enginesOf([node(true, { port: false }), node(true, { wing: true })])).toBe('running');
});

it('the host makes one by itself, remembers that it did, and leaves nothing half done when it stops during one', async () => {
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] });
  try {
    mkdirSync(stick);
    mkdirSync(join(base, 'boat/data/host'));
    const { clock, advance } = movableClock();
    const { own } = new Live(clock);
    const folders = { kitPath: join(base, 'boat/kit.yaml'), dataDir: join(base, 'boat/data') };
    const node = { connected: true, status: { running: {} } };
    const live = { own, nodes: () => [node] as unknown as ReturnType<Live['nodes']> };
    const start = () => backupAfterVoyages({ settings: { to: stick, keep: 5 }, folders, live, clock });
    const look = () => vi.advanceTimersByTime(10_000);
    const kept = () => JSON.parse(readFileSync(join(folders.dataDir, 'host/backup-owed.json'), 'utf8'));
    const stop = start();
    look();
    expect(readdirSync(stick)).toEqual([]);
    advance(owedAtStartMs);
    look();
    look();
    await expect.poll(kept).toEqual({ owed: false, madeAt: clock.wallMs() });
    expect(readdirSync(stick)).toHaveLength(1);
    stop();

    writeFileSync(join(folders.dataDir, 'history'), randomBytes(8_000_000));
    advance(withoutInputsMs);
    const stopAgain = start();
    advance(owedAtStartMs);
    look();
    expect(kept()).toMatchObject({ owed: true, begun: true });
    stopAgain();
    await expect.poll(kept).toEqual({ owed: true, madeAt: expect.any(Number) });
    expect(readdirSync(stick)).toHaveLength(1);
  } finally {
    vi.useRealTimers();
  }
});
