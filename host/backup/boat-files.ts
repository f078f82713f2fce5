import { readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, join, posix, relative, resolve, sep } from 'node:path';
import { parse } from 'yaml';
import { hostFolderIn, nodeFoldersIn } from '../settings/data-folders.js';

/** Where a boat's files are. */
export type BoatFolders = { readonly kitPath: string; readonly dataDir: string };

/** A file and its name in the backup: `boat/...` beside the kit, `data/...` in the boat's data folder. */
export type BoatFile = { readonly name: string; readonly path: string };

export const storeName = 'data/host/elbowroom.sqlite';
/** Of the store, copied in its own way; and what only a running process needs. */
const notCopied = /^(elbowroom\.sqlite(-wal|-shm|-journal)?|in-use)$/;

/** Every file of the boat but the store: its kits, certificates, baselines, host.yaml, passwords, node state, link secret. */
export const boatFiles = ({ kitPath, dataDir }: BoatFolders): readonly BoatFile[] => {
  const folder = dirname(resolve(kitPath));
  const inFolder = filesIn(folder, '.', 1).filter((name) => /\.ya?ml$/.test(name));
  // A second board has a kit of its own.
  const kits = inFolder.filter((name) => name !== basename(kitPath) && isKit(join(folder, name)));
  const beside = [
    basename(kitPath),
    ...kits,
    ...inFolder.filter((name) => name.startsWith('baseline')),
    ...filesIn(join(folder, 'certificates'), 'certificates', 3),
    ...[basename(kitPath), ...kits].flatMap((name) => namedByKit(join(folder, name))),
  ];
  const data = [
    ...filesIn(dataDir, '.', 1),
    ...filesIn(hostFolderIn(dataDir), 'host', 3),
    ...nodeFoldersIn(dataDir).flatMap((name) => filesIn(join(dataDir, name), name, 3)),
  ];
  return [
    ...[...new Set(beside)].map((name) => ({ name: `boat/${name}`, path: join(folder, name) })),
    ...data.map((name) => ({ name: `data/${name}`, path: join(dataDir, name) })),
  ];
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
    if (entry.isFile()) return notCopied.test(entry.name) ? [] : [name];
    return entry.isDirectory() && deep > 1 ? filesIn(join(folder, entry.name), name, deep - 1) : [];
  });
};

/** Whether a file in the boat's folder is a kit; one that cannot be read is none. */
const isKit = (path: string): boolean => {
  try {
    const { kit, probes } = parse(readFileSync(path, 'utf8')) as { kit?: unknown; probes?: unknown };
    return kit === 1 && Array.isArray(probes);
  } catch {
    return false;
  }
};

/** Certificates and baseline that the kit names in its own folder; a kit that cannot be read is copied as it is. */
const namedByKit = (kitPath: string): readonly string[] => {
  try {
    const kit = parse(readFileSync(kitPath, 'utf8')) as {
      baseline?: unknown;
      probes?: { certificate?: unknown }[];
    };
    const folder = dirname(resolve(kitPath));
    return [kit.baseline, ...(kit.probes ?? []).map(({ certificate }) => certificate)].flatMap((named) => {
      if (typeof named !== 'string') return [];
      const name = relative(folder, resolve(folder, named)).split(sep).join('/');
      const there = statSync(join(folder, name), { throwIfNoEntry: false })?.isFile();
      return name.startsWith('..') || !there ? [] : [name];
    });
  } catch {
    return [];
  }
};
