import { readFile, unlink } from 'node:fs/promises';
import { join } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import type { Session } from '../../calibration/index.js';
import { RoomError } from '../../node/index.js';

/** Its name in the folder of the certificates. */
export const sessionFile = 'unfinished-session.json';
const pathIn = (folder: string): string => join(folder, sessionFile);
/** Where the page of release 0.1 kept a session of its own. */
const oldPagePathIn = (folder: string): string => pathIn(join(folder, 'on-the-page'));

/**
 * The session left unfinished in a folder by the command or by the page, or undefined. Throws `UnreadableSessionError` when a file
 * is there and is no session of this release.
 */
export async function unfinishedSession(folder: string): Promise<Session | undefined> {
  for (const path of [pathIn(folder), oldPagePathIn(folder)]) {
    const text = await readFile(path, 'utf8').catch(() => undefined);
    if (text === undefined) continue;
    const session = sessionIn(text);
    if (session === 'older')
      throw new UnreadableSessionError(
        `${path} is an unfinished session of an earlier release. It lacks how each probe came to rest and how good each bath was, so its points cannot be used: take the baths again.`,
      );
    if (session === 'none') throw new UnreadableSessionError(`${path} is not an unfinished session.`);
    return session;
  }
  return undefined;
}

/** A file that is no session of this release. */
export class UnreadableSessionError extends RoomError {
  readonly code = 'unreadable-session';
  readonly errorCategory = 'usage';
}

function sessionIn(text: string): Session | 'older' | 'none' {
  try {
    const value = JSON.parse(text) as { readonly saved?: number; readonly session?: Session } | null;
    if (value?.saved === 1) return 'older';
    return value?.saved === 2 && value.session?.session === 2 ? value.session : 'none';
  } catch {
    return 'none';
  }
}

/** Keeps the session for the next run. What a bath is watching is not kept: it must be watched again. */
export async function keepSession(folder: string, current: Session): Promise<void> {
  const { bath: _, ...session } = current;
  await writeFileAtomic(pathIn(folder), JSON.stringify({ saved: 2, session: { ...session, watches: {} } }));
}

/** Removes every unfinished session of the folder, readable or not. */
export async function forgetSession(folder: string): Promise<void> {
  for (const path of [pathIn(folder), oldPagePathIn(folder)]) await unlink(path).catch(() => undefined);
}
