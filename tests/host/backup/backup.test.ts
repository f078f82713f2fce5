import { spawnSync } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import {
  chownSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { restoreBackup } from '../../../host/backup/restore-backup.js';
import { writeBackup } from '../../../host/backup/write-backup.js';
import { backupCommand } from '../../../host/cli/backup-command.js';
import { openStore, openStoreToRead } from '../../../host/store/index.js';
import { systemClock } from '../../../node/index.js';
import { runCommandHere } from '../cli/run-command-here.js';
import { base, boat, data, file, folders, listed, put, restore, withBoatFolder } from './boat-folder.js';

withBoatFolder();

describe('a backup', () => {
  it('holds everything about the boat and nothing else, opens with any tar, and is readable by its owner only', async () => {
    await writeBackup(folders(), file, systemClock);
    expect(listed().sort()).toEqual([
      'boat/certificates/sea@1.json',
      'boat/kit.yaml',
      'boat/learned/normal.yaml',
      'data/host/host.yaml',
      'data/link-secret',
      'data/node/node-state.json',
      'elbowroom-backup.json',
    ]);
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(readdirSync(base).sort(), 'nothing half done is left').toEqual(['boat', 'boat.tar.gz']);
  });

  it('copies the store as of one moment while the host writes it, and gives the same entries back', async () => {
    const store = openStore(join(data, 'host'), systemClock);
    const entry = {
      at: 1_770_000_000_000,
      engine: 'port',
      work: 'impeller changed',
      restartsBaseline: false,
    };
    store.service.add(entry);
    await writeBackup(folders(), file, systemClock);
    store.service.add({ ...entry, work: 'after the backup' });
    store.close();
    const { keptIn } = await restore();
    const restored = openStore(join(data, 'host'), systemClock);
    expect(restored.service.entries().map(({ work }) => work)).toEqual(['impeller changed']);
    restored.close();
    const kept = openStore(join(keptIn ?? '', 'data/host'), systemClock);
    expect(kept.service.entries().map(({ work }) => work)).toEqual(['impeller changed', 'after the backup']);
    kept.close();
  });

  it('copies a store that is written all the time once and not again and again, and stops when its signal says so', async () => {
    const folder = join(data, 'host');
    const writer = openStore(folder, systemClock);
    const work = (words: string) => ({ at: 1, engine: 'port', work: words, restartsBaseline: false });
    for (let i = 0; i < 300; i++) writer.service.add(work('x'.repeat(6_000)));
    const entries = writer.service.entries().length;
    const reader = openStoreToRead(folder, systemClock);
    let isDone = false;
    const copied = reader.copyTo(join(base, 'copy.sqlite')).finally(() => {
      isDone = true;
    });
    let writes = 0;
    for (; !isDone && writes < 500; writes++) {
      writer.service.add(work(`meanwhile ${writes}`));
      await new Promise(setImmediate);
    }
    expect(writes, 'a copy that begins again at each write never ends').toBeLessThan(500);
    await copied;
    mkdirSync(join(base, 'there'));
    renameSync(join(base, 'copy.sqlite'), join(base, 'there/elbowroom.sqlite'));
    const copy = openStoreToRead(join(base, 'there'), systemClock);
    expect(copy.service.entries().length - entries, 'as of its first moment').toBeLessThan(2);
    copy.close();
    const stopped = reader.copyTo(join(base, 'second.sqlite'), AbortSignal.abort(new Error('too long')));
    await expect(stopped).rejects.toThrow('too long');
    reader.close();
    writer.close();
  });

  it('holds no queued messages and no half written files, and is made though a file goes meanwhile', async () => {
    const queued = join(data, 'host/messages/mail-x/1.json');
    put(queued, '{}');
    put(join(data, 'host/messages/told.json'), '{}');
    put(join(data, 'host/access.json.1234567890'), 'half');
    const state = join(data, 'node/node-state.json');
    openStore(join(data, 'host'), systemClock).close();
    const written = writeBackup(folders(), file, systemClock);
    // While the store is copied.
    rmSync(queued);
    rmSync(state);
    expect((await written).leftOut).toEqual([state]);
    const names = listed();
    expect(names.filter((name) => /messages|\.\d+$|node-state/.test(name))).toEqual([]);
    expect(names).toContain('data/host/elbowroom.sqlite');

    const second = writeBackup(folders(), join(base, 'second.tar.gz'), systemClock);
    rmSync(join(boat, 'certificates/sea@1.json'));
    await expect(second).rejects.toThrow(/No backup was written.*sea@1/);
  });

  it('names what the kit keeps outside of the boat’s folder', async () => {
    const far = join(base, 'elsewhere/air@1.json');
    put(far, '{}\n');
    put(join(boat, 'kit.yaml'), `kit: 1\nbaseline: ../b.yaml\nprobes: [{ certificate: ${far} }]\n`);
    const { leftOut } = await writeBackup(folders(), file, systemClock);
    expect(leftOut).toEqual(['../b.yaml', far]);
    const said = await runCommandHere(
      backupCommand,
      ...['backup', join(base, 'b.tar.gz'), '--kit', join(boat, 'kit.yaml'), '--data-dir', data],
    );
    expect(said).toMatchObject({ exitCode: 0, stderr: expect.stringContaining(`Left out: ${far}.`) });
  });

  it('of a boat with two boards holds both kits and what both nodes remember', async () => {
    put(join(boat, 'aft.yaml'), 'kit: 1\nprobes: [{ certificate: calibrated/aft@1.json }]\n');
    put(join(boat, 'calibrated/aft@1.json'), '{}\n');
    put(join(boat, 'answers.yaml'), 'plan: 1\n');
    put(join(data, 'node-2/node-state.json'), '{"alerts":[]}\n');
    await writeBackup(folders(), file, systemClock);
    const names = listed();
    for (const name of ['boat/aft.yaml', 'boat/calibrated/aft@1.json', 'data/node-2/node-state.json'])
      expect(names).toContain(name);
    expect(names).not.toContain('boat/answers.yaml');
  });

  it('that is stopped leaves nothing, and one that was killed is cleared up by the next', async () => {
    put(join(data, 'certificates/huge@1.json'), randomBytes(8_000_000).toString('hex'));
    const stop = new AbortController();
    const stopped = writeBackup(folders(), file, systemClock, stop.signal);
    while (!readdirSync(base).some((name) => name.startsWith('.elbowroom-backup-')))
      await new Promise(setImmediate);
    const halfDone = readdirSync(base).filter((name) => name.startsWith('.'));
    stop.abort();
    await expect(stopped).rejects.toThrow(/No backup was written/);
    expect([halfDone.length, readdirSync(base)]).toEqual([1, ['boat']]);

    const { pid: gone } = spawnSync(process.execPath, ['-e', '0']);
    const ofThisComputer = halfDone[0]?.slice(0, -`${process.pid}-aaaaaa`.length);
    const aDayAgo = new Date(Date.now() - 86_500_000);
    for (const [name, is] of [
      [`${ofThisComputer}${gone}-aaaaaa`, 'killed'],
      [`${ofThisComputer}${process.pid}-aaaaaa`, 'running'],
      [`.elbowroom-backup-another-${gone}-aaaaaa`, 'of another computer, perhaps running'],
      ['.elbowroom-backup-another-1-old', 'of another computer, killed'],
    ] as const)
      put(join(base, name, 'partial.tar.gz'), is);
    utimesSync(join(base, '.elbowroom-backup-another-1-old'), aDayAgo, aDayAgo);
    await writeBackup(folders(), file, systemClock);
    expect(readdirSync(base).sort()).toEqual(
      [
        `${ofThisComputer}${process.pid}-aaaaaa`,
        `.elbowroom-backup-another-${gone}-aaaaaa`,
        'boat',
        'boat.tar.gz',
      ].sort(),
    );
  });

  it('that is put back with sudo belongs to the owner of the folder, the store as well', async ({ skip }) => {
    skip(process.getuid?.() !== 0, 'needs root');
    openStore(join(data, 'host'), systemClock).close();
    await writeBackup(folders(), file, systemClock);
    const there = join(base, 'there');
    mkdirSync(there);
    chownSync(there, 1234, 1235);
    await restoreBackup({
      from: file,
      folder: there,
      dataDir: join(there, 'new/data'),
      clock: systemClock,
    });
    const others = readdirSync(there, { recursive: true, encoding: 'utf8' }).filter((path) => {
      const { uid, gid } = statSync(join(there, path));
      return uid !== 1234 || gid !== 1235;
    });
    expect(others).toEqual([]);
    expect(readdirSync(join(there, 'new/data/host'))).toContain('elbowroom.sqlite');
  });

  it('is never written over, and one that cannot be written leaves nothing', async () => {
    writeFileSync(file, 'mine');
    await expect(writeBackup(folders(), file, systemClock)).rejects.toThrow(/exists already/);
    expect(readFileSync(file, 'utf8')).toBe('mine');
    await expect(writeBackup(folders(), join(base, 'no-stick/b.tar.gz'), systemClock)).rejects.toThrow(
      /No backup was written to/,
    );
    expect(existsSync(join(base, 'no-stick'))).toBe(false);
  });
});
