import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect } from 'vitest';
import { restoreBackup } from '../../../host/backup/restore-backup.js';
import { systemClock } from '../../../node/index.js';

export let base: string;
export let boat: string;
export let data: string;
export let file: string;

export const kitText =
  'kit: 1\nbaseline: learned/normal.yaml\nprobes: [{ certificate: certificates/sea@1.json }]\n';
export const put = (path: string, text: string) => {
  mkdirSync(join(path, '..'), { recursive: true });
  writeFileSync(path, text);
};

/** Makes the folder of a boat before each test of the file that calls this, and removes it after. */
export const withBoatFolder = (): void => {
  beforeEach(() => {
    base = mkdtempSync(join(tmpdir(), 'elbowroom-backup-'));
    [boat, data, file] = [join(base, 'boat'), join(base, 'boat/elbowroom-data'), join(base, 'boat.tar.gz')];
    put(join(boat, 'kit.yaml'), kitText);
    put(join(boat, 'learned/normal.yaml'), 'baseline: 1\n');
    put(join(boat, 'certificates/sea@1.json'), '{}\n');
    put(join(boat, 'holiday.jpg'), 'not ours');
    put(join(data, 'link-secret'), 'secret\n');
    put(join(data, 'host/host.yaml'), 'settings: 1\n');
    put(join(data, 'node/node-state.json'), '{"alerts":[]}\n');
  });
  afterEach(() => rmSync(base, { recursive: true, force: true }));
};

export const folders = () => ({ kitPath: join(boat, 'kit.yaml'), dataDir: data });
export const restore = (more: object = {}) =>
  restoreBackup({ from: file, folder: boat, dataDir: data, clock: systemClock, ...more });

/** Names in the archive, by the system's own tar. */
export const listed = () => {
  const { stdout, status } = spawnSync('tar', ['-tzf', file], { encoding: 'utf8' });
  expect(status).toBe(0);
  return stdout.trim().split('\n');
};
