import { readdirSync, readFileSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import { parse } from 'yaml';

/** Where systems mount removable disks. */
const mountedBelow = /^\/(media|mnt|run\/media)\//;

/**
 * Throws when nothing should be written there: no folder, or one on the file system of the boat's own data, as the empty
 * folder of a stick that is out is. Another partition of the same disk is not noticed.
 */
export const requireOtherFileSystem = (to: string, dataDir: string): void => {
  const folder = statSync(to, { throwIfNoEntry: false });
  if (!folder?.isDirectory()) throw new Error(`There is no folder ${to}; is the stick in?`);
  const isOurs = folder.dev === statSync(dataDir).dev;
  const isSystems = mountedBelow.test(`${resolve(to)}/`) && folder.dev === statSync('/').dev;
  if (isOurs || isSystems)
    throw new Error(
      `${to} is on the file system of ${isOurs ? 'the boat’s own data' : 'this computer'}, so no stick is in there: nothing was written.`,
    );
};

/** The boat's name as a part of a file name, so that boats can share a stick; `boat` where the kit cannot be read. */
export const boatInName = (kitPath: string): string => {
  try {
    const { boat } = parse(readFileSync(kitPath, 'utf8')) as { boat: { name: string } };
    const words =
      boat.name
        .toLowerCase()
        .normalize('NFKC')
        .match(/[\p{L}\p{N}]+/gu) ?? [];
    return words.join('-').slice(0, 40) || 'boat';
  } catch {
    return 'boat';
  }
};

/** This boat's backups in a folder, the oldest first; never another boat's, nor those that name none (version 0.2). */
export const backupsOf = (boat: string, folder: string): readonly string[] => {
  const ours = new RegExp(`^elbowroom-${boat}-\\d{4}-\\d{2}-\\d{2}T.*\\.tar\\.gz$`, 'u');
  return readdirSync(folder)
    .filter((name) => ours.test(name))
    .sort();
};

const fullCodes = ['ENOSPC', 'EDQUOT', 'SQLITE_FULL'];

/** Whether an error, or what caused it, is a disk without room. */
export const isFull = (error: unknown): boolean => {
  for (let at = error as { code?: unknown; cause?: unknown } | undefined; at; at = at.cause as typeof at)
    if (fullCodes.includes(String(at.code))) return true;
  return false;
};

/** When a backup was made, by its name. */
const stampOf = (name: string): string => /\d{4}-\d{2}-\d{2}T.*$/.exec(name)?.[0] ?? '';

/**
 * Which files of a full stick may be deleted: this boat's but the newest, and the older ones that name no boat, as version
 * 0.2 wrote them, which may be another boat's. None while no file names this boat: the others may be its only backups.
 */
export const mayBeDeleted = (
  boat: string,
  folder: string,
): { readonly ours: readonly string[]; readonly nameless: readonly string[] } => {
  try {
    const ours = backupsOf(boat, folder);
    const newest = stampOf(ours.at(-1) ?? '');
    const nameless = readdirSync(folder)
      .filter((name) => /^elbowroom-\d{4}-\d{2}-\d{2}T.*\.tar\.gz$/.test(name) && stampOf(name) < newest)
      .sort();
    return { ours: ours.slice(0, -1), nameless };
  } catch {
    // The stick went meanwhile.
    return { ours: [], nameless: [] };
  }
};
