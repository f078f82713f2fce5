import { readdirSync, readFileSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import { parse } from 'yaml';

/** Where systems mount what is put in. */
const mountedBelow = /^\/(media|mnt|run\/media)\//;

/**
 * Throws when nothing should be written there: no folder, or one on the boat's own disk, as the empty folder of a stick that
 * is out is.
 */
export const requireOtherDisk = (to: string, dataDir: string): void => {
  const folder = statSync(to, { throwIfNoEntry: false });
  if (!folder?.isDirectory()) throw new Error(`There is no folder ${to}; is the stick in?`);
  const isOurs = folder.dev === statSync(dataDir).dev;
  const isSystems = mountedBelow.test(`${resolve(to)}/`) && folder.dev === statSync('/').dev;
  if (isOurs || isSystems)
    throw new Error(`${to} is on this computer's own disk, so no stick is in there: nothing was written.`);
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

/** Which files of a full stick may be deleted: all of this boat's but the newest, and what an earlier version wrote. */
export const mayBeDeleted = (boat: string, folder: string): readonly string[] => [
  ...backupsOf(boat, folder).slice(0, -1),
  ...readdirSync(folder).filter((name) => /^elbowroom-\d{4}-\d{2}-\d{2}T.*\.tar\.gz$/.test(name)),
];
