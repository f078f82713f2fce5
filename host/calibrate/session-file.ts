import { readFile, unlink } from 'node:fs/promises';
import { join } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import type { Session } from '../../calibration/index.js';

/** Its name in the folder of the certificates. */
export const sessionFile = 'unfinished-session.json';
const pathIn = (folder: string): string => join(folder, sessionFile);

/**
 * The session left unfinished in a folder by the command or by the page, or undefined. Throws when the file is there and is
 * no session.
 */
export async function unfinishedSession(folder: string): Promise<Session | undefined> {
  const text = await readFile(pathIn(folder), 'utf8').catch(() => undefined);
  if (text === undefined) return undefined;
  try {
    const value = JSON.parse(text) as { readonly saved: number; readonly session: Session };
    if (value.saved === 2 && value.session.session === 2) return value.session;
  } catch {
    // Answered below, in words that help.
  }
  throw new Error(`${pathIn(folder)} is not an unfinished session. Delete it, or start with --fresh.`);
}

/** Keeps the session for the next run. What a bath is watching is not kept: it must be watched again. */
export async function keepSession(folder: string, current: Session): Promise<void> {
  const { bath: _, ...session } = current;
  await writeFileAtomic(pathIn(folder), JSON.stringify({ saved: 2, session: { ...session, watches: {} } }));
}

export async function forgetSession(folder: string): Promise<void> {
  await unlink(pathIn(folder)).catch(() => undefined);
}
