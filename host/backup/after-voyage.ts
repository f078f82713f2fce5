import { readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Clock } from '../../node/index.js';
import type { HostAlerts } from '../live/host-alerts.js';
import type { LiveSource } from '../live/live-source.js';
import type { BackupSettings } from '../settings/schema.js';
import type { BoatFolders } from './boat-files.js';
import { writeBackup } from './write-backup.js';

/** All engines stopped for so long: in a lock or at a fuel berth they are started again sooner. */
export const stoppedForMs = 15 * 60_000;
const lookEveryMs = 10_000;
const alertId = 'host-backup:failed';
const ourName = /^elbowroom-\d{4}-\d{2}-\d{2}T.*\.tar\.gz$/;

type Options = {
  readonly settings: BackupSettings;
  readonly folders: BoatFolders;
  readonly live: Pick<LiveSource, 'nodes'> & { readonly own: Pick<HostAlerts, 'raise' | 'clear'> };
  readonly clock: Clock;
};

/**
 * Writes a backup to the folder that host.yaml names once every engine has been stopped for a quarter of an hour after
 * one ran. The running inputs say what runs; without one there is no backup by itself. A stick that is not there or full
 * is a caution, gone with the next backup that succeeds. The answer stops it.
 */
export const backupAfterVoyages = (options: Options): (() => void) => {
  const step = voyageEnd();
  let busy = false;
  const timer = setInterval(() => {
    const { live, clock } = options;
    const running = live.nodes().flatMap(({ status }) => Object.values(status?.running ?? {}));
    if (!step(running.includes(true), clock.monotonicMs()) || busy) return;
    busy = true;
    void backUpOnce(options).finally(() => {
      busy = false;
    });
  }, lookEveryMs);
  timer.unref();
  return () => clearInterval(timer);
};

/** True once after each voyage: something ran, and then nothing for `stoppedForMs`. */
export const voyageEnd = () => {
  let ranAtMs: number | undefined;
  return (running: boolean, nowMs: number): boolean => {
    if (running) ranAtMs = nowMs;
    if (ranAtMs === undefined || nowMs - ranAtMs < stoppedForMs) return false;
    ranAtMs = undefined;
    return true;
  };
};

/** One backup, and the oldest of ours deleted beyond the number that is kept. */
export const backUpOnce = async ({ settings, folders, live, clock }: Options): Promise<void> => {
  const { to, keep } = settings;
  try {
    if (!statSync(to, { throwIfNoEntry: false })?.isDirectory())
      throw new Error(`There is no folder ${to}; is the stick in?`);
    const stamp = new Date(clock.wallMs()).toISOString().replace(/[:.]/g, '-');
    const written = `elbowroom-${stamp}.tar.gz`;
    await writeBackup(folders, join(to, written), clock);
    // Never the one just written: a clock that was set back gives it the oldest name.
    const others = readdirSync(to).filter((name) => ourName.test(name) && name !== written);
    for (const name of others.sort().slice(0, Math.max(0, others.length + 1 - keep))) rmSync(join(to, name));
    live.own.clear(alertId);
  } catch (error) {
    live.own.raise({
      id: alertId,
      rule: 'backup-failed',
      priority: 'caution',
      message: `The backup after this voyage failed: ${(error as Error).message}`,
      actions: [
        'Put the stick in, or make room on it.',
        'Back up by hand: elbowroom backup FILE. The store aboard is not affected.',
      ],
    });
  }
};
