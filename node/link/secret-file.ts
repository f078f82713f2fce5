import { chmodSync, linkSync, mkdirSync, rmSync, stat, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import { readWhole } from '../kit/read-whole.js';
import { type LinkSecret, newSecret } from './seal.js';

/** 32 bytes in base64url. */
const secretShape = /^[A-Za-z0-9_-]{43}$/;
/** What a power cut leaves of one: a part of it, or zeros. It is made again; anything else is another file. */
const cutOff = /^[A-Za-z0-9_-]{0,42}\0*$/;

/** The file is looked at again no sooner, ms: a host that arrives a hundred times a second costs nothing. */
const lookAgainAfterMs = 1_000;

export type SecretTold = {
  /** The file can be neither read nor made; once for each reason. */
  readonly onTrouble: (why: string) => void;
  /** Reading or making it works again. */
  readonly onWell?: () => void;
};

/**
 * The secret that node and host share, from a file that only its owner may read; the first of them to ask makes it.
 * The file is read at the first call and when it has changed since, because the other one may have made it. Once there is
 * a secret a disk that hangs cannot hold up the caller: whether the file has changed is asked beside it. Nothing when it
 * can be neither read nor made: then no host is obeyed.
 */
export const secretFile = (
  path: string,
  { onTrouble, onWell = () => {} }: SecretTold,
): (() => LinkSecret | undefined) => {
  let known: LinkSecret | undefined;
  let trouble: string | undefined;
  let seen: string | undefined;
  let lookedAtMs = Number.NEGATIVE_INFINITY;
  let asking = false;

  const look = () => {
    try {
      known = readOrMake(path, known);
      if (trouble !== undefined) onWell();
      trouble = undefined;
    } catch (error) {
      const why = (error as Error).message;
      if (known === undefined && why !== trouble)
        onTrouble(
          `The link secret ${path} cannot be used (${why}). Until it can, no page can acknowledge or silence an alert of this node. Make its folder writable, or name another with --link-secret.`,
        );
      trouble = why;
    }
  };
  const lookIfChanged = () => {
    asking = true;
    stat(path, (error, now) => {
      asking = false;
      const found = error ? String(error.code) : `${now.ino} ${now.size} ${now.mtimeMs} ${now.mode}`;
      if (found !== seen) look();
      seen = found;
    });
  };
  return () => {
    if (asking || performance.now() - lookedAtMs < lookAgainAfterMs) return known;
    lookedAtMs = performance.now();
    if (known === undefined) look();
    else lookIfChanged();
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
    // A hard link is atomic, and fails when the other process was first.
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

/** One level only: Node's recursion never returns where no folder can be made, such as below /proc. */
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
    text = readWhole(path).trim();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
  if (cutOff.test(text)) return undefined;
  if (!secretShape.test(text)) throw new Error('it holds something else, which is left as it is');
  if (process.platform !== 'win32' && (statSync(path).mode & 0o077) !== 0) chmodSync(path, 0o600);
  return text;
};
