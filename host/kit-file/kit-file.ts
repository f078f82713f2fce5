import { constants, copyFileSync, existsSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import { checkWholeKit, loadKit, NodeError } from '../../node/index.js';

export type KitText = {
  readonly path: string;
  readonly text: string;
  /** What is wrong with the file as it lies there, by line and column. */
  readonly problem?: string;
};

/** The kit file as the owner wrote it. Throws the file system's error. */
export const readKitText = (path: string): KitText => {
  const text = readFileSync(path, 'utf8');
  const problem = problemOf(text, path);
  return { path, text, ...(problem !== undefined && { problem }) };
};

/** What a node would say against a text at its start, for a reader at the page; absent when it is a good kit. */
export const problemOf = (text: string, path: string): string | undefined => {
  try {
    checkWholeKit(text, path, 'Repair it, then check it here again.');
    return undefined;
  } catch (error) {
    if (error instanceof NodeError) return error.message;
    throw error;
  }
};

/** The node that a kit is for; nothing where the kit cannot be read. */
export const nodeOfKit = (path: string): string | undefined => {
  try {
    return loadKit(path).node;
  } catch {
    return undefined;
  }
};

export type WrittenKit = {
  /** Where the old file is; absent when there was none. */
  readonly backup?: string;
  /** Old backups that were removed. */
  readonly dropped: readonly string[];
};

/** Besides the one from before the first edit, which is never removed. */
const mostBackups = 10;

/** Writes a kit that was checked, and first puts the old one beside it. */
export const writeKit = async (path: string, text: string, nowMs: number): Promise<WrittenKit> => {
  const backup = existsSync(path) ? putBeside(path, nowMs) : undefined;
  await writeFileAtomic(path, text);
  return { ...(backup !== undefined && { backup }), dropped: dropOldest(path, backup) };
};

/** Never the one just made, which a clock still at 1970 would sort first. One that cannot be removed stays. */
const dropOldest = (path: string, justMade: string | undefined): readonly string[] =>
  stamped(path)
    .filter((old) => old !== justMade)
    .slice(0, -(mostBackups - 1))
    .filter((old) => {
      try {
        rmSync(old, { force: true });
        return true;
      } catch {
        return false;
      }
    });

const stampShape = /\.\d{4}-\d\d-\d\dT\d\d-\d\d-\d\d(-\d{3})?\.bak$/;

/** Our own backups by their time, oldest first; what an owner put beside by hand is not ours to count. */
const stamped = (path: string): readonly string[] =>
  readdirSync(dirname(path))
    .filter((name) => name.startsWith(`${basename(path)}.`) && stampShape.test(name))
    .sort()
    .map((name) => join(dirname(path), name));

/** The very first keeps a name without a time: a computer that wakes in 1970 must not make it look like the oldest of many. */
const putBeside = (path: string, nowMs: number): string => {
  const first = `${path}.original.bak`;
  if (!existsSync(first) && !stamped(path).length) {
    copyFileSync(path, first, constants.COPYFILE_EXCL);
    return first;
  }
  for (let atMs = nowMs; ; atMs++) {
    const stamp = new Date(atMs).toISOString().replace(/[:.]/g, '-').slice(0, 23);
    const backup = `${path}.${stamp}.bak`;
    if (existsSync(backup)) continue;
    copyFileSync(path, backup, constants.COPYFILE_EXCL);
    return backup;
  }
};
