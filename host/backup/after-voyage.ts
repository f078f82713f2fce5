import { rmSync } from 'node:fs';
import { join, sep } from 'node:path';
import type { Clock } from '../../node/index.js';
import type { HostAlerts } from '../live/host-alerts.js';
import type { LiveSource } from '../live/live-source.js';
import type { BackupSettings } from '../settings/schema.js';
import type { BoatFolders } from './boat-files.js';
import { DueBackup, type Engines } from './due-backup.js';
import { backupsOf, boatInName, isFull, mayBeDeleted, requireOtherFileSystem } from './stick.js';
import { writeBackup } from './write-backup.js';

const lookEveryMs = 10_000;
const longestMinutes = 60;
const failedId = 'host-backup:failed';
const leftOutId = 'host-backup:left-out';

type Options = {
  readonly settings: BackupSettings;
  readonly folders: BoatFolders;
  readonly live: Pick<LiveSource, 'nodes'> & { readonly own: Pick<HostAlerts, 'raise' | 'clear'> };
  readonly clock: Clock;
  /** Ends a backup that is being written. */
  readonly signal?: AbortSignal;
};

/**
 * Writes a backup to the folder that host.yaml names once every engine has been stopped for a quarter of an hour after
 * one ran; one that was missed is made after the next start. The running inputs say what runs; without any a backup is made
 * each day. A stick that is not there or full is a caution, gone with the next backup that succeeds. What it returns stops it.
 */
export const backupAfterVoyages = (options: Options): (() => void) => {
  const due = new DueBackup(options.folders.dataDir, options.clock);
  const stop = new AbortController();
  let busy = false;
  const timer = setInterval(() => {
    const isDue = due.look(enginesOf(options.live.nodes()));
    if (!isDue || busy) return;
    busy = true;
    void due
      .make(() => backUpOnce({ ...options, signal: stop.signal }))
      .finally(() => {
        busy = false;
      });
  }, lookEveryMs);
  timer.unref();
  return () => {
    clearInterval(timer);
    stop.abort(new Error('The host is stopping.'));
  };
};

/** Nothing is known of a node that is not connected. */
export const enginesOf = (nodes: ReturnType<LiveSource['nodes']>): Engines => {
  const known = nodes.flatMap(({ connected, status }) => (connected && status ? [status.running] : []));
  if (known.length === 0) return 'unknown';
  const inputs = known.flatMap((running) => Object.values(running));
  if (inputs.length === 0) return 'none';
  return inputs.includes(true) ? 'running' : 'stopped';
};

/** One backup, and the oldest of this boat's deleted beyond the number that is kept. Whether it was made. */
export const backUpOnce = async (options: Options): Promise<boolean> => {
  const { settings, folders, live, clock } = options;
  const { to, keep } = settings;
  const boat = boatInName(folders.kitPath);
  const tooLong = new AbortController();
  const timer = setTimeout(
    () => tooLong.abort(new Error(`It took more than ${longestMinutes} minutes; is the stick worn out?`)),
    longestMinutes * 60_000,
  );
  const signal = AbortSignal.any([tooLong.signal, ...(options.signal ? [options.signal] : [])]);
  try {
    requireOtherFileSystem(to, folders.dataDir);
    const stamp = new Date(clock.wallMs()).toISOString().replace(/[:.]/g, '-');
    const written = `elbowroom-${boat}-${stamp}.tar.gz`;
    const { leftOut } = await writeBackup(folders, join(to, written), clock, signal);
    // Never the one just written: after a clock was set back it has the oldest name.
    const others = backupsOf(boat, to).filter((name) => name !== written);
    for (const name of others.slice(0, Math.max(0, others.length + 1 - keep))) rmSync(join(to, name));
    live.own.clear(failedId);
    // A file that has gone meanwhile is not needed.
    const outside = leftOut.filter((path) => !path.startsWith(join(folders.dataDir, sep)));
    sayLeftOut(live.own, outside);
    return true;
  } catch (error) {
    live.own.raise({
      id: failedId,
      rule: 'backup-failed',
      priority: 'caution',
      message: `The backup after this voyage failed and is tried again: ${(error as Error).message}`,
      actions: [
        isFull(error) ? makeRoom(mayBeDeleted(boat, to)) : 'See that the stick is in and that it works.',
        'Back up by hand: elbowroom backup FILE. The store aboard is not affected.',
      ],
    });
    return false;
  } finally {
    clearTimeout(timer);
  }
};

const makeRoom = ({ ours, nameless }: ReturnType<typeof mayBeDeleted>): string =>
  [
    'Make room on the stick.',
    ours.length > 0 && `Older backups of this boat that may be deleted: ${ours.join(', ')}.`,
    nameless.length > 0 &&
      `Of an earlier version, and perhaps another boat’s; look before you delete them: ${nameless.join(', ')}.`,
    ours.length + nameless.length === 0 && 'Delete no backup of this boat: use another stick.',
  ]
    .filter((words) => words !== false)
    .join(' ');

const sayLeftOut = (own: Pick<HostAlerts, 'raise' | 'clear'>, leftOut: readonly string[]): void => {
  if (leftOut.length === 0) own.clear(leftOutId);
  else
    own.raise({
      id: leftOutId,
      rule: 'backup-incomplete',
      priority: 'caution',
      message: `The backup was made without ${leftOut.join(', ')}.`,
      actions: [
        'Copy by hand what is outside of the boat’s folder, or move it into that folder and name it so in the kit.',
      ],
    });
};
