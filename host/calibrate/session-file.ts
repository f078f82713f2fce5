import { readFile, unlink } from 'node:fs/promises';
import { join } from 'node:path';
import type { Bath, Session } from '../../calibration/index.js';
import { writeWhole } from './certificate-files.js';

/** A session between two runs of the command: the baths it wants, how many are done, and all it has taken. */
export type SavedSession = {
  readonly saved: 1;
  readonly baths: readonly Bath[];
  readonly done: number;
  readonly session: Session;
};

const pathIn = (folder: string): string => join(folder, 'unfinished-session.json');

/** The session left unfinished in a folder, or undefined. Throws when the file is there and is no session. */
export async function unfinishedSession(folder: string): Promise<SavedSession | undefined> {
  const text = await readFile(pathIn(folder), 'utf8').catch(() => undefined);
  if (text === undefined) return undefined;
  try {
    const value = JSON.parse(text) as SavedSession;
    if (value.saved === 1 && value.session.session === 1) return value;
  } catch {
    // Said below, in words that help.
  }
  throw new Error(`${pathIn(folder)} is not an unfinished session. Delete it, or start with --fresh.`);
}

/** Keeps the session for the next run. What a bath is watching is not kept: it must be watched again. */
export async function keepSession(folder: string, saved: SavedSession): Promise<void> {
  const { bath: _, ...session } = saved.session;
  await writeWhole(pathIn(folder), JSON.stringify({ ...saved, session: { ...session, watches: {} } }));
}

export async function forgetSession(folder: string): Promise<void> {
  await unlink(pathIn(folder)).catch(() => undefined);
}
