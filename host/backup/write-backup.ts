import { createHash } from 'node:crypto';
import {
  createReadStream,
  createWriteStream,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs';
import { open, readFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { type Clock, RoomError } from '../../node/index.js';
import { hostFolderIn } from '../settings/data-folders.js';
import { openStoreToRead } from '../store/index.js';
import { type BoatFile, type BoatFolders, boatFiles, storeName } from './boat-files.js';
import { type Manifest, manifestName } from './manifest.js';
import { tarEnd, tarHeader, tarPadding } from './tar.js';

/** Why a backup could not be made. */
export class BackupError extends RoomError {
  readonly code = 'backup-not-written';
  readonly errorCategory = 'unavailable';
}

/** What was written, and the paths of what is not in it though it belongs to the boat. */
export type Written = { readonly manifest: Manifest; readonly leftOut: readonly string[] };

type Copied = { readonly file: BoatFile; readonly bytes: number; readonly content?: Buffer };

/**
 * Writes everything about the boat into one file, readable by its owner only, while node and host may run: the store is
 * copied as of one moment, small files are read whole. The file appears under its name when it is complete and on the
 * disk; until then all is in one hidden folder beside it, which goes when the backup ends in any way, and which the next one
 * removes where this process was killed. A file of the data folder that vanishes meanwhile is left out. Throws `BackupError`,
 * also when `signal` stops it.
 */
export const writeBackup = async (
  folders: BoatFolders,
  to: string,
  clock: Clock,
  signal = new AbortController().signal,
): Promise<Written> => {
  if (existsSync(to))
    throw new BackupError(`${to} exists already. Choose another name: a backup is never written over.`);
  const target = resolve(to);
  let work: string | undefined;
  try {
    removeLeftOver(dirname(target), clock);
    // Beside the target, which has room for it if anything has.
    work = mkdtempSync(join(dirname(target), `${workName}${thisComputer()}-${process.pid}-`));
    const partial = join(work, 'partial.tar.gz');
    const { files, leftOut } = boatFiles(folders);
    const store = await copyStore(folders, work, clock, signal);
    const vanished: string[] = [];
    const copied: Copied[] = [];
    const entries: Manifest['entries'][number][] = [];
    for (const file of [...files, ...store]) {
      signal.throwIfAborted();
      const one = await readForBackup(file);
      if (!one) {
        vanished.push(file.path);
        continue;
      }
      copied.push(one);
      entries.push({ name: file.name, bytes: one.bytes, sha256: await sha256Of(one, signal) });
    }
    const manifest: Manifest = {
      backup: 1,
      madeAt: new Date(clock.wallMs()).toISOString(),
      kit: basename(folders.kitPath),
      entries,
    };
    await pipeline(
      Readable.from(archive(manifest, copied, clock.wallMs())),
      createGzip(),
      createWriteStream(partial, { mode: 0o600 }),
      { signal },
    );
    await sync(partial);
    signal.throwIfAborted();
    renameSync(partial, target);
    return { manifest, leftOut: [...leftOut, ...vanished] };
  } catch (caught) {
    const error = signal.aborted ? signal.reason : caught;
    throw new BackupError(`No backup was written to ${to}: ${(error as Error).message}`, { cause: error });
  } finally {
    if (work !== undefined) rmSync(work, { recursive: true, force: true });
  }
};

const workName = '.elbowroom-backup-';
const dayMs = 86_400_000;

/** Of the host name and, because most boats have a `raspberrypi`, of the system's own number where it has one. */
const thisComputer = (): string => {
  const hash = createHash('sha256').update(hostname());
  try {
    hash.update(readFileSync('/etc/machine-id'));
  } catch {
    // The name alone must do.
  }
  return hash.digest('hex').slice(0, 12);
};

/**
 * Folders of backups that were killed, as by a power cut: this computer's whose process is gone, and any older than a day.
 * In a network folder the others may be written at this moment by another boat.
 */
const removeLeftOver = (folder: string, clock: Clock): void => {
  const ours = `${workName}${thisComputer()}-`;
  for (const name of readdirSync(folder)) {
    if (!name.startsWith(workName)) continue;
    const path = join(folder, name);
    const isGone = name.startsWith(ours) && !isAlive(Number.parseInt(name.slice(ours.length), 10));
    const madeAtMs = statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;
    if (isGone || clock.wallMs() - madeAtMs > dayMs) rmSync(path, { recursive: true, force: true });
  }
};

const isAlive = (pid: number): boolean => {
  try {
    return process.kill(pid, 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
};

const copyStore = async (
  { dataDir }: BoatFolders,
  work: string,
  clock: Clock,
  signal: AbortSignal,
): Promise<readonly BoatFile[]> => {
  const folder = hostFolderIn(dataDir);
  if (!existsSync(join(folder, basename(storeName)))) return [];
  const store = openStoreToRead(folder, clock);
  try {
    const path = join(work, basename(storeName));
    await store.copyTo(path, signal);
    return [{ name: storeName, path }];
  } finally {
    store.close();
  }
};

/**
 * A file that may be replaced at any time is read whole, so that its sum is that of what is written. Undefined for one of the
 * data folder that is gone by now; one of the kit must be there.
 */
const readForBackup = async (file: BoatFile): Promise<Copied | undefined> => {
  if (file.name === storeName) return { file, bytes: statSync(file.path).size };
  try {
    const content = await readFile(file.path);
    return { file, bytes: content.length, content };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT' && file.name.startsWith('data/')) return undefined;
    throw error;
  }
};

const contentOf = ({ file, content }: Copied): AsyncIterable<Buffer> | readonly Buffer[] =>
  content ? [content] : createReadStream(file.path);

const sha256Of = async (copied: Copied, signal: AbortSignal): Promise<string> => {
  const hash = createHash('sha256');
  for await (const chunk of contentOf(copied)) {
    signal.throwIfAborted();
    hash.update(chunk);
  }
  return hash.digest('hex');
};

async function* archive(manifest: Manifest, copied: readonly Copied[], atMs: number): AsyncGenerator<Buffer> {
  const first = Buffer.from(`${JSON.stringify(manifest, null, 1)}\n`);
  yield tarHeader(manifestName, first.length, atMs);
  yield first;
  yield tarPadding(first.length);
  for (const one of copied) {
    yield tarHeader(one.file.name, one.bytes, atMs);
    for await (const chunk of contentOf(one)) yield chunk;
    yield tarPadding(one.bytes);
  }
  yield tarEnd;
}

/** Without holding up the rest of the host: a slow stick takes minutes. */
const sync = async (path: string): Promise<void> => {
  const handle = await open(path, 'r+');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
};
