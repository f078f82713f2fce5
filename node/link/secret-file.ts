import { chmodSync, linkSync, mkdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import { type LinkSecret, newSecret } from './seal.js';

/** 32 bytes in base64url. */
const secretShape = /^[A-Za-z0-9_-]{43}$/;
/** What a power cut leaves of one: less of it, or zeros. It is made again; anything else is somebody's file. */
const cutOff = /^[A-Za-z0-9_-]{0,42}\0*$/;

/**
 * The secret that node and host share, from a file that only its owner may read; the first of them to ask makes it.
 * The file is read again each time, because the other one may have made it. Nothing when it can be neither read nor
 * made: then no host is obeyed, and `onTrouble` hears why, once for each reason.
 */
export const secretFile = (
  path: string,
  onTrouble: (why: string) => void,
): (() => LinkSecret | undefined) => {
  let known: LinkSecret | undefined;
  let trouble: string | undefined;
  return () => {
    try {
      known = readOrMake(path, known);
      trouble = undefined;
    } catch (error) {
      const why = (error as Error).message;
      if (why !== trouble)
        onTrouble(
          `The link secret ${path} cannot be used (${why}). Until it can, no page can acknowledge or silence an alert of this node. Make its folder writable, or name another with --link-secret.`,
        );
      trouble = why;
    }
    return known;
  };
};

const readOrMake = (path: string, known: LinkSecret | undefined): LinkSecret => {
  const found = read(path);
  if (found !== undefined) return found;
  const fresh = known ?? newSecret();
  makeFolderOf(path);
  const mine = `${path}.${process.pid}.new`;
  writeFileAtomic(mine, `${fresh}\n`, { mode: 0o600 });
  try {
    // A link is made whole or not at all, and fails when the other process was first.
    linkSync(mine, path);
  } catch {
    const theirs = read(path);
    if (theirs !== undefined) return theirs;
    writeFileAtomic(path, `${fresh}\n`, { mode: 0o600 });
  } finally {
    rmSync(mine, { force: true });
  }
  return fresh;
};

/** One level and no more: Node's recursion never comes back from a place where nothing can be made, such as /proc. */
const makeFolderOf = (path: string): void => {
  try {
    mkdirSync(dirname(path));
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  }
};

const read = (path: string): LinkSecret | undefined => {
  let text: string;
  try {
    text = readFileSync(path, 'utf8').trim();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
  if (cutOff.test(text)) return undefined;
  if (!secretShape.test(text)) throw new Error('it holds something else, which is left as it is');
  if (process.platform !== 'win32' && (statSync(path).mode & 0o077) !== 0) chmodSync(path, 0o600);
  return text;
};
