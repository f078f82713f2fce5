import { readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, isAbsolute, join, posix, relative, resolve, sep } from 'node:path';
import { parse } from 'yaml';
import { hostFolderIn, nodeFoldersIn } from '../settings/data-folders.js';

/** Where a boat's files are. */
export type BoatFolders = { readonly kitPath: string; readonly dataDir: string };

/** A file and its name in the backup: `boat/...` beside the kit, `data/...` in the boat's data folder. */
export type BoatFile = { readonly name: string; readonly path: string };

export const storeName = 'data/host/elbowroom.sqlite';
/** The store, which is copied separately, and what only a running process needs. */
const notCopied = /^(elbowroom\.sqlite(-wal|-shm|-journal)?|in-use|backup-owed\.json)$/;
/** Temporary files of write-file-atomic. */
const halfWritten = /\.\d{4,10}$/;

/** Messages that wait to be sent, and which were: weeks later they would be sent ashore as if they were of today. */
export const isQueuedMessage = (name: string): boolean => name.startsWith('data/host/messages/');

/** What goes into a backup, and what the kits name that cannot. */
export type BoatFiles = {
  readonly files: readonly BoatFile[];
  /** Paths outside of the boat's folder, as the kits name them. */
  readonly leftOut: readonly string[];
};

/**
 * Every file of the boat but the store: its kits, certificates, baselines, host.yaml, passwords, node state, link secret; no
 * queued messages.
 */
export const boatFiles = ({ kitPath, dataDir }: BoatFolders): BoatFiles => {
  const folder = dirname(resolve(kitPath));
  const inFolder = filesIn(folder, '.', 1).filter((name) => /\.ya?ml$/.test(name));
  // A second board has a kit of its own.
  const kits = inFolder.filter((name) => name !== basename(kitPath) && isKit(join(folder, name)));
  const named = [basename(kitPath), ...kits].map((name) => namedByKit(join(folder, name)));
  const beside = [
    basename(kitPath),
    ...kits,
    ...inFolder.filter((name) => name.startsWith('baseline')),
    ...filesIn(join(folder, 'certificates'), 'certificates', 3),
    ...named.flatMap(({ inside }) => inside),
  ];
  const data = [
    ...filesIn(dataDir, '.', 1),
    ...filesIn(hostFolderIn(dataDir), 'host', 3),
    ...nodeFoldersIn(dataDir).flatMap((name) => filesIn(join(dataDir, name), name, 3)),
  ];
  const files = [
    ...[...new Set(beside)].map((name) => ({ name: `boat/${name}`, path: join(folder, name) })),
    ...data.map((name) => ({ name: `data/${name}`, path: join(dataDir, name) })),
  ].filter(({ name }) => !isQueuedMessage(name));
  return { files, leftOut: [...new Set(named.flatMap(({ outside }) => outside))] };
};

/** Regular files below a folder, at most so deep, named from `as`; none where there is no such folder. */
const filesIn = (folder: string, as: string, deep: number): readonly string[] => {
  let entries: readonly import('node:fs').Dirent[];
  try {
    entries = readdirSync(folder, { withFileTypes: true });
  } catch {
    return [];
  }
  return entries.flatMap((entry) => {
    const name = posix.join(as, entry.name);
    if (entry.isFile()) return notCopied.test(entry.name) || halfWritten.test(entry.name) ? [] : [name];
    return entry.isDirectory() && deep > 1 ? filesIn(join(folder, entry.name), name, deep - 1) : [];
  });
};

/** Whether a file in the boat's folder is a kit; an unreadable file is not. */
const isKit = (path: string): boolean => {
  try {
    const { kit, probes } = parse(readFileSync(path, 'utf8')) as { kit?: unknown; probes?: unknown };
    return kit === 1 && Array.isArray(probes);
  } catch {
    return false;
  }
};

type Named = { readonly inside: readonly string[]; readonly outside: readonly string[] };

/** Certificates and baseline that the kit names, in its own folder and elsewhere; a kit that cannot be read is copied as it is. */
const namedByKit = (kitPath: string): Named => {
  try {
    const kit = parse(readFileSync(kitPath, 'utf8')) as {
      baseline?: unknown;
      probes?: { certificate?: unknown }[];
    };
    const folder = dirname(resolve(kitPath));
    const all = [kit.baseline, ...(kit.probes ?? []).map(({ certificate }) => certificate)].filter(
      (named) => typeof named === 'string',
    );
    const seen = (named: string) => relative(folder, resolve(folder, named)).split(sep).join('/');
    const isOutside = (named: string) => seen(named).startsWith('../') || isAbsolute(seen(named));
    const isThere = (name: string) => statSync(join(folder, name), { throwIfNoEntry: false })?.isFile();
    return {
      inside: all
        .filter((named) => !isOutside(named))
        .map(seen)
        .filter(isThere),
      outside: all.filter(isOutside),
    };
  } catch {
    return { inside: [], outside: [] };
  }
};
