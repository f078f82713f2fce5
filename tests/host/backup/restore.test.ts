import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { tarHeader } from '../../../host/backup/tar.js';
import { writeBackup } from '../../../host/backup/write-backup.js';
import { backupCommand } from '../../../host/cli/backup-command.js';
import { restoreCommand } from '../../../host/cli/restore-command.js';
import { holdDataFolder, holderOf } from '../../../host/supervise/data-folder.js';
import { systemClock } from '../../../node/index.js';
import { runCommandHere } from '../cli/run-command-here.js';
import { base, boat, data, file, folders, kitText, put, restore, withBoatFolder } from './boat-folder.js';

withBoatFolder();

describe('restoring', () => {
  it('puts everything back byte for byte and keeps what it replaces', async () => {
    await writeBackup(folders(), file, systemClock);
    writeFileSync(join(boat, 'kit.yaml'), 'kit: changed\n');
    const { keptIn } = await restore();
    expect(readFileSync(join(boat, 'kit.yaml'), 'utf8')).toBe(kitText);
    expect(readFileSync(join(keptIn ?? '', 'boat/kit.yaml'), 'utf8')).toBe('kit: changed\n');
    expect(readFileSync(join(boat, 'holiday.jpg'), 'utf8')).toBe('not ours');
    expect(readdirSync(boat).filter((name) => name.startsWith('.'))).toEqual([]);
  });

  it('that stops half way moves everything back, says so, and works once the cause is gone', async () => {
    await writeBackup(folders(), file, systemClock);
    writeFileSync(join(boat, 'kit.yaml'), 'kit: changed\n');
    // A file where a folder must be: the kit is in place already when this is met.
    rmSync(join(data, 'node'), { recursive: true });
    writeFileSync(join(data, 'node'), 'in the way');
    await expect(restore()).rejects.toThrow(
      /could not be put in place.*as it was before.*same command again/,
    );
    expect(readFileSync(join(boat, 'kit.yaml'), 'utf8')).toBe('kit: changed\n');
    expect(readFileSync(join(data, 'host/host.yaml'), 'utf8')).toBe('settings: 1\n');
    expect(readdirSync(boat).filter((name) => name.startsWith('.'))).toEqual([]);
    rmSync(join(data, 'node'));
    expect((await restore()).manifest.entries).toHaveLength(6);
    expect(readFileSync(join(boat, 'kit.yaml'), 'utf8')).toBe(kitText);
  });

  it('is refused while a node works in the data folder, and lets go of the folder at its end', async () => {
    await writeBackup(folders(), file, systemClock);
    const letGo = await holdDataFolder(join(data, 'node'));
    await expect(restore()).rejects.toThrow(/is in use/);
    letGo();
    await restore();
    expect([await holderOf(join(data, 'node')), await holderOf(join(data, 'host'))]).toEqual([
      undefined,
      undefined,
    ]);
  });

  it('of a backup by an earlier version does not put queued messages back', async () => {
    put(join(data, 'host/nessages/mail-x/1.json'), '{}');
    await writeBackup(folders(), file, systemClock);
    const tar = gunzipSync(readFileSync(file));
    const [wrong, right] = ['data/host/nessages/mail-x/1.json', 'data/host/messages/mail-x/1.json'];
    const listedAt = tar.indexOf(wrong);
    const headerAt = tar.indexOf(wrong, listedAt + 1);
    tar.write(right, listedAt);
    tarHeader(right, 2, 0).copy(tar, headerAt);
    writeFileSync(file, gzipSync(tar));
    const [folder, dataDir] = [join(base, 'new'), join(base, 'new/data')];
    const { manifest } = await restore({ folder, dataDir });
    expect(manifest.entries.map(({ name }) => name)).toContain(right);
    expect(readdirSync(join(dataDir, 'host'))).toEqual(['host.yaml']);
  });

  it('makes the boat in an empty folder of a new computer', async () => {
    await writeBackup(folders(), file, systemClock);
    const [folder, dataDir] = [join(base, 'new'), join(base, 'new/elbowroom-data')];
    expect((await restore({ folder, dataDir })).keptIn).toBeUndefined();
    expect(readFileSync(join(folder, 'kit.yaml'), 'utf8')).toBe(kitText);
    expect(readFileSync(join(dataDir, 'link-secret'), 'utf8')).toBe('secret\n');
  });

  /** Damage of each kind, done to a good backup. */
  const damages: Readonly<Record<string, (bytes: Buffer) => Buffer>> = {
    'cut short': (bytes) => bytes.subarray(0, bytes.length - 40),
    'with one byte of a file changed': (bytes) => {
      const tar = Buffer.from(gunzipSync(bytes));
      const at = tar.indexOf(kitText);
      tar[at] = (tar[at] ?? 0) ^ 1;
      return gzipSync(tar);
    },
    'with one byte of the compression changed': (bytes) => {
      const changed = Buffer.from(bytes);
      const at = changed.length - 6;
      changed[at] = (changed[at] ?? 0) ^ 1;
      return changed;
    },
    'without its last file': (bytes) => {
      const tar = gunzipSync(bytes);
      return gzipSync(Buffer.concat([tar.subarray(0, -2048), Buffer.alloc(1024)]));
    },
    'that leads out of its folder': (bytes) => {
      const text = gunzipSync(bytes).toString('latin1').replace('"boat/kit.yaml"', '"boat/../k.yml"');
      return gzipSync(Buffer.from(text, 'latin1'));
    },
    'that is no archive': () => Buffer.from('hello'),
  };
  it.each(Object.keys(damages))('refuses a backup %s and changes nothing', async (name) => {
    await writeBackup(folders(), file, systemClock);
    writeFileSync(file, damages[name]?.(readFileSync(file)) ?? '');
    writeFileSync(join(boat, 'kit.yaml'), 'kit: mine\n');
    const before = readdirSync(boat, { recursive: true }).sort();
    await expect(restore()).rejects.toThrow();
    expect(readFileSync(join(boat, 'kit.yaml'), 'utf8')).toBe('kit: mine\n');
    expect(readdirSync(boat, { recursive: true }).sort()).toEqual(before);
  });
});

describe('at the terminal', () => {
  it('backup and restore say what they did, and restore refuses while a host holds the folder', async () => {
    const where = ['--data-dir', data];
    const made = await runCommandHere(
      backupCommand,
      'backup',
      file,
      '--kit',
      join(boat, 'kit.yaml'),
      ...where,
    );
    expect(made.stdout).toMatch(/6 files/);
    const checked = await runCommandHere(
      restoreCommand,
      'restore',
      file,
      '--folder',
      boat,
      ...where,
      '--dry-run',
    );
    expect(checked.stdout).toMatch(/is whole: 6 files/);
    expect(existsSync(join(boat, 'kit.yaml'))).toBe(true);
    await holdDataFolder(join(data, 'host'));
    const held = await runCommandHere(restoreCommand, 'restore', file, '--folder', boat, ...where);
    expect(held).toMatchObject({
      exitCode: 3,
      stderr: expect.stringMatching(/is in use.*Stop elbowroom watch/),
    });
  });
});
