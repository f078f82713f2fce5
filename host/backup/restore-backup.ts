import { createHash } from 'node:crypto';
import {
  chownSync,
  copyFileSync,
  createReadStream,
  existsSync,
  mkdtempSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
import { dirname, join, resolve, sep } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { createGunzip } from 'node:zlib';
import type { Clock } from '../../node/index.js';
import { makeFolder } from '../files/make-folder.js';
import { nodeFoldersIn } from '../settings/data-folders.js';
import { holdDataFolder } from '../supervise/data-folder.js';
import { isQueuedMessage, storeName } from './boat-files.js';
import { type Manifest, manifestName, manifestSchema } from './manifest.js';
import { ArchiveError, readTar } from './tar.js';

export type Restored = {
  readonly manifest: Manifest;
  /** Where what was replaced is kept; absent when nothing was there before. */
  readonly keptIn?: string;
};

type RestoreOptions = {
  readonly from: string;
  /** The boat's folder, which gets the kit, and its data folder. */
  readonly folder: string;
  readonly dataDir: string;
  readonly clock: Clock;
  /** Verify and change nothing. */
  readonly dryRun?: boolean;
};

/**
 * Puts a backup back. Every file is unpacked beside its place and checked against its SHA-256 before the first one is
 * touched; then those in the way are moved, not deleted, while no node or host can start in the data folder. Queued messages of a
 * backup by an earlier version are not put back: they are of alerts long over. Throws `FolderInUseError`, or `ArchiveError` for a backup that is not whole, with
 * nothing changed, and for a disk that refuses half way, with everything moved back where that can be.
 */
export const restoreBackup = async (options: RestoreOptions): Promise<Restored> => {
  const folder = resolve(options.folder);
  const dataDir = resolve(options.dataDir);
  const owner = ownerOf(folder);
  makeFolder(folder);
  const work = mkdtempSync(join(folder, '.elbowroom-restore-'));
  const held: (() => void)[] = [];
  try {
    const manifest = await unpack(options.from, work);
    if (options.dryRun) return { manifest };
    const stamp = new Date(options.clock.wallMs()).toISOString().replace(/[:.]/g, '-');
    const kept = join(folder, `replaced-${stamp}`);
    const inPlace = ({ name }: { readonly name: string }) => {
      const [where, ...rest] = name.split('/');
      return join(where === 'boat' ? folder : dataDir, ...rest);
    };
    const moves = manifest.entries
      .filter(({ name }) => !isQueuedMessage(name))
      .map((entry) => ({ entry, to: inPlace(entry) }));
    const folders = new Set([
      ...moves.flatMap(({ entry }) => /^data\/((?:host|node(?:-\d+)?))\//.exec(entry.name)?.[1] ?? []),
      ...nodeFoldersIn(dataDir),
    ]);
    for (const name of folders) held.push(await holdDataFolder(join(dataDir, name)));
    // A write-ahead log left beside another store would be read into it.
    const logs = moves
      .filter(({ entry }) => entry.name === storeName)
      .flatMap(({ to }) => [`${to}-wal`, `${to}-shm`]);
    const moved = new Moves();
    let keptIn: string | undefined;
    const keep = (path: string, name: string): void => {
      if (!existsSync(path)) return;
      keptIn = kept;
      moved.move(path, join(kept, name));
    };
    try {
      for (const path of logs)
        keep(path, join('data/host', path.slice(path.lastIndexOf('elbowroom.sqlite'))));
      for (const { entry, to } of moves) {
        keep(to, entry.name);
        moved.move(join(work, entry.name), to);
      }
    } catch (error) {
      const why = firstLine(error);
      if (moved.undo())
        throw new ArchiveError(
          `The backup could not be put in place (${why}) Everything is as it was before: put that right, then run the same command again.`,
          { cause: error },
        );
      throw new ArchiveError(
        `The restore stopped half way (${why}) and not all could be moved back. What was there before is in ${kept}. Do not start elbowroom watch on this mixture: put that right, then run the same command again.`,
        { cause: error },
      );
    }
    giveTo(
      owner,
      [folder, dataDir],
      [...moves.map(({ to }) => to), ...(keptIn === undefined ? [] : [keptIn])],
    );
    return { manifest, ...(keptIn !== undefined && { keptIn }) };
  } finally {
    for (const letGo of held) letGo();
    rmSync(work, { recursive: true, force: true });
  }
};

type Owner = { readonly uid: number; readonly gid: number };

/** The owner that a path has, or will have: that of the nearest folder that exists. */
const ownerOf = (path: string): Owner => statSync(path, { throwIfNoEntry: false }) ?? ownerOf(dirname(path));

/**
 * After `sudo`: what was put in place belongs to the owner of the boat's folder, who runs the watch, and so does each folder on the way
 * to it from `roots`.
 */
const giveTo = ({ uid, gid }: Owner, roots: readonly string[], paths: readonly string[]): void => {
  if (process.getuid?.() !== 0) return;
  const given = new Set<string>();
  for (const path of paths) {
    const root = roots
      .filter((folder) => path.startsWith(`${folder}${sep}`))
      .sort()
      .at(0);
    for (let at = path; root !== undefined && at !== dirname(root) && !given.has(at); at = dirname(at)) {
      chownSync(at, uid, gid);
      given.add(at);
    }
  }
};

/** Moves files, and can move them back. */
class Moves {
  private readonly done: { readonly from: string; readonly to: string }[] = [];

  move(from: string, to: string): void {
    move(from, to);
    this.done.push({ from, to });
  }

  /** Whether all could be moved back. */
  undo(): boolean {
    let all = true;
    for (const { from, to } of this.done.toReversed())
      try {
        move(to, from);
      } catch {
        all = false;
      }
    return all;
  }
}

/** To a place that may be on another disk. */
const move = (from: string, to: string): void => {
  makeFolder(dirname(to));
  try {
    renameSync(from, to);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EXDEV') throw error;
    copyFileSync(from, `${to}.partial`);
    renameSync(`${to}.partial`, to);
    rmSync(from);
  }
};

/** Unpacks into `work` and compares every file with the manifest. */
const unpack = async (from: string, work: string): Promise<Manifest> => {
  const sums = new Map<string, { readonly bytes: number; readonly sha256: string }>();
  let text = '';
  let manifest: Manifest | undefined;
  try {
    await pipeline(createReadStream(from), createGunzip(), (stream) =>
      readTar(stream as unknown as import('node:stream').Readable, async (name) => {
        if (name === manifestName && !manifest)
          return {
            take: async (bytes) => {
              text += bytes.toString('utf8');
            },
            end: async () => {
              manifest = manifestSchema.parse(JSON.parse(text));
            },
          };
        if (!manifest?.entries.some((entry) => entry.name === name) || sums.has(name))
          throw new ArchiveError(`${from} holds ${name}, which is not on its own list.`);
        return toFile(join(work, name), (sum) => sums.set(name, sum));
      }),
    );
  } catch (error) {
    if (error instanceof ArchiveError) throw error;
    throw new ArchiveError(`${from} is no whole backup: ${firstLine(error)} Nothing was changed.`, {
      cause: error,
    });
  }
  if (!manifest) throw new ArchiveError(`${from} is no backup of elbowroom.`);
  const wrong = manifest.entries.filter(({ name, bytes, sha256 }) => {
    const sum = sums.get(name);
    return sum?.bytes !== bytes || sum.sha256 !== sha256;
  });
  if (wrong.length > 0)
    throw new ArchiveError(
      `${from} is damaged: ${wrong.map(({ name }) => name).join(', ')} differ from what was backed up. Nothing was changed.`,
    );
  return manifest;
};

const firstLine = (error: unknown): string => `${(error as Error).message.split('\n')[0]}.`;

const toFile = async (path: string, onEnd: (sum: { bytes: number; sha256: string }) => void) => {
  makeFolder(dirname(path));
  const handle: FileHandle = await open(path, 'wx', 0o600);
  const hash = createHash('sha256');
  let bytes = 0;
  return {
    take: async (chunk: Buffer) => {
      hash.update(chunk);
      bytes += chunk.length;
      await handle.writeFile(chunk);
    },
    end: async () => {
      await handle.sync();
      await handle.close();
      onEnd({ bytes, sha256: hash.digest('hex') });
    },
  };
};
