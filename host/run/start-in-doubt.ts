import { existsSync, mkdtempSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { basename, join } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import type { Clock } from '../../node/index.js';
import { AccessError } from '../serve/access/access-file.js';
import { closed } from '../serve/access/access-now.js';
import { loadAccess } from '../serve/access/load-access.js';
import { isLoopbackAddress, PageError, refuseOpenPage } from '../serve/page-error.js';
import { readHostSettings, readSettingsAt, settingsTextAt } from '../settings/read-settings.js';
import type { HostSettings } from '../settings/schema.js';
import { SettingsError, settingsPath } from '../settings/settings-file.js';
import { openStore, type Store, StoreError, storePath } from '../store/index.js';

type Trouble = Readonly<Record<'id' | 'rule' | 'message', string>> & { readonly actions: readonly string[] };

const copyPath = (dataDir: string): string => join(dataDir, 'last-good-host.yaml');

/**
 * The settings to start with. A file that cannot be used throws `SettingsError`; but where `unattended`, as after a power
 * cut, what the host last started with is taken, or nothing that is optional, with the trouble as words for an alert.
 */
export const settingsToStartWith = (
  dataDir: string,
  unattended: boolean,
): { readonly settings: HostSettings; readonly trouble?: Trouble } => {
  try {
    const settings = readHostSettings(dataDir);
    keepCopy(dataDir);
    return { settings };
  } catch (error) {
    if (!unattended || !(error instanceof SettingsError)) throw error;
    const copy = lastGood(dataDir);
    return {
      settings: copy ?? { settings: 1 },
      trouble: {
        id: 'host-settings:not-read',
        rule: 'settings-not-read',
        message: `${copy ? 'The host runs with the settings of its last good start.' : 'The host runs without outputs and backups.'} ${error.message}`,
        actions: [
          'Correct host.yaml, then restart the host.',
          'The guard, the page and the store do not depend on it.',
        ],
      },
    };
  }
};

/**
 * The text as it is, so that a comment is kept; of a file that was removed no copy is left to come back. A disk that takes
 * no copy changes nothing about this start.
 */
const keepCopy = (dataDir: string): void => {
  try {
    const text = settingsTextAt(settingsPath(dataDir));
    if (text === undefined) rmSync(copyPath(dataDir), { force: true });
    else if (text !== settingsTextAt(copyPath(dataDir)))
      writeFileAtomic(copyPath(dataDir), text, { mode: 0o600 });
  } catch {
    // Without a copy a later mistake leaves the host without outputs, and it says so.
  }
};

const lastGood = (dataDir: string): HostSettings | undefined => {
  try {
    return readSettingsAt(copyPath(dataDir));
  } catch {
    return undefined;
  }
};

/**
 * Who may sign in. An access file that cannot be understood throws `AccessError`, a wide page without one `PageError`; but
 * where `unattended` the page listens on this computer only, and while no one can sign in it shows everything there and takes
 * no orders, because guessing would grant access.
 */
export const accessToStartWith = (
  asked: Parameters<typeof loadAccess>[0] & { readonly pageListen?: string },
  unattended: boolean,
): ReturnType<typeof loadAccess> & { readonly trouble?: Trouble } => {
  try {
    const loaded = loadAccess(asked);
    refuseOpenPage(asked.pageListen ?? '127.0.0.1', loaded.access());
    return loaded;
  } catch (error) {
    if (!unattended || !(error instanceof AccessError || error instanceof PageError)) throw error;
    // A certificate that cannot be read is left out with the rest: on this computer the page needs none.
    const { access } = loadAccess({ dataDir: asked.dataDir, lockedWhenDamaged: true });
    return {
      // A wide page had a pass-phrase, or it would never have been served: without the file it is lost, not waived.
      access: () => access() ?? (isLoopbackAddress(asked.pageListen ?? '127.0.0.1') ? undefined : closed),
      trouble: {
        id: 'host-access:not-read',
        rule: 'access-not-read',
        message: `The page listens on this computer only. ${error.message}`,
        actions: [
          'Correct it, then restart the host.',
          'Until then look at the page on the boat’s computer; the buzzer sounds all the same.',
        ],
      },
    };
  }
};

/**
 * The store to record in. One that cannot be opened throws `StoreError`; but a damaged file, where `unattended`, is moved
 * aside whole and a new one is begun, because a host that does not start shows no page and sends no messages. As long as what
 * was moved lies there, each start says so: a boat's host may start many times before anyone looks.
 */
export const storeToStartWith = (
  dataDir: string,
  clock: Clock,
  unattended: boolean,
): { readonly store: Store; readonly trouble?: Trouble } => {
  const store = openOrBegin(dataDir, clock, unattended);
  const aside = movedAside(dataDir);
  if (aside.length === 0) return { store };
  return {
    store,
    trouble: {
      id: 'host-store:moved-aside',
      rule: 'store-moved-aside',
      message: `The history was damaged. It was moved to ${aside.join(' and ')}, and a new one has been recording since.`,
      actions: [
        'Copy the newest backup from before that day to a safe place before new ones replace it.',
        'In port: stop the host, then elbowroom restore BACKUP; or save what is left with sqlite3 FILE .recover.',
        'Check the computer’s disk or card: a file rarely damages itself.',
        'When you are done, move that folder away: this ends with the next start.',
      ],
    },
  };
};

const openOrBegin = (dataDir: string, clock: Clock, unattended: boolean): Store => {
  try {
    return openStore(dataDir, clock);
  } catch (error) {
    const isDamaged =
      error instanceof StoreError && (error.code === 'store-damaged' || error.code === 'not-a-store');
    if (!unattended || !isDamaged) throw error;
    try {
      moveAside(dataDir, clock);
    } catch (cause) {
      throw new StoreError(
        error.code,
        `${error.message} It could not be moved aside: ${(cause as Error).message}. Make room on that disk, then start again.`,
        { cause },
      );
    }
    return openStore(dataDir, clock);
  }
};

const folderName = 'damaged-';

/** The file with what SQLite keeps beside it, in a new folder of the data folder; the file last, since a new one must not meet an old log. */
const moveAside = (dataDir: string, clock: Clock): void => {
  const day = new Date(clock.wallMs()).toISOString().slice(0, 10);
  const folder = mkdtempSync(join(dataDir, `${folderName}${day}-`));
  for (const path of ['-wal', '-shm', ''].map((end) => `${storePath(dataDir)}${end}`))
    if (existsSync(path)) renameSync(path, join(folder, basename(path)));
};

/** The folders with a store that was moved aside. */
const movedAside = (dataDir: string): readonly string[] =>
  readdirSync(dataDir)
    .filter((name) => name.startsWith(folderName))
    .map((name) => join(dataDir, name))
    .filter((folder) => existsSync(join(folder, basename(storePath(dataDir)))));
