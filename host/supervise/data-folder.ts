import { createHash } from 'node:crypto';
import { linkSync, realpathSync, renameSync, rmSync, statSync } from 'node:fs';
import { connect, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { RoomError } from '../../node/index.js';
import { makeFolder } from '../files/make-folder.js';

/** Unix socket paths hold 108 bytes on Linux and 104 on macOS; a dead one is moved to a name that is up to 13 longer. */
const longestPath = 90;
const answerWithinMs = 1_000;

/** Another process of ours works in the data folder. */
export class FolderInUseError extends RoomError {
  readonly code = 'folder-in-use';
  readonly errorCategory = 'unavailable';
}

/**
 * Keeps a second node or host out of a data folder for as long as this process lives: two would write one state file,
 * and two boats' readings would mix. Held by a socket that the system closes when its process dies however it dies, so
 * that nothing is left to clean up after a kill or a power cut. Programs that read beside the host do not ask for it.
 * Where the file system has no sockets nothing is held, because a guard must start all the same. The answer lets go of it
 * earlier. Throws `FolderInUseError`.
 */
export const holdDataFolder = async (dataDir: string): Promise<() => void> => {
  let path: string;
  try {
    makeFolder(dataDir);
    path = socketPath(realpathSync(dataDir));
  } catch {
    // The process that needs the folder says what is wrong with it.
    return notHeld;
  }
  let holder = '';
  for (let tries = 0; tries < 5; tries++) {
    const held = await tryToHold(path);
    if (typeof held === 'function') return held;
    if (held !== 'EADDRINUSE') return notHeld;
    const asked = whichSocket(path);
    holder = await askHolder(path);
    if (holder === 'free') holder = await clearAway(path, asked);
    if (holder !== 'free') break;
  }
  const by = holder && holder !== 'free' ? holder : 'another elbowroom';
  throw new FolderInUseError(
    `The data folder ${dataDir} is in use by ${by}. Stop that first, or choose another folder with --data-dir.`,
  );
};

/**
 * Removes the socket that was asked and belongs to a dead process. Another process that started meanwhile may have put its own
 * in that place: then nothing is touched, and should it have come in the very moment between, it is put back.
 */
const clearAway = async (path: string, asked: string | undefined): Promise<string> => {
  if (whichSocket(path) !== asked) return 'free';
  const aside = `${path}.${process.pid.toString(36)}-${(asides++).toString(36)}`;
  try {
    renameSync(path, aside);
  } catch {
    // Another process has removed it.
    return 'free';
  }
  const holder = await askHolder(aside);
  try {
    if (holder !== 'free') linkSync(aside, path);
  } catch {
    // A third has its own there by now: its hold is not broken.
  }
  rmSync(aside, { force: true });
  return holder;
};
let asides = 0;

const notHeld = (): void => {};

/** `process 812, started ...` while a node or host works in the folder; undefined while none does. */
export const holderOf = async (dataDir: string): Promise<string | undefined> => {
  try {
    const holder = await askHolder(socketPath(realpathSync(dataDir)));
    return holder === 'free' ? undefined : holder;
  } catch {
    return undefined;
  }
};

const socketPath = (folder: string): string => {
  const hash = createHash('sha256').update(folder).digest('hex').slice(0, 16);
  if (process.platform === 'win32') return `\\\\.\\pipe\\elbowroom-${hash}`;
  const beside = join(folder, 'in-use');
  return Buffer.byteLength(beside) <= longestPath ? beside : join(tmpdir(), `elbowroom-${hash}`);
};

/** What lets go of it once it is held, else the system's code. */
const tryToHold = (path: string): Promise<string | (() => void)> =>
  new Promise((done) => {
    const me = `process ${process.pid}, started ${new Date().toISOString()}`;
    const server: Server = createServer((asker) => {
      asker.on('error', () => asker.destroy());
      asker.end(me);
    });
    server.on('error', (error: NodeJS.ErrnoException) => done(error.code ?? 'unknown'));
    server.listen(path, () => {
      server.unref();
      const mine = whichSocket(path);
      const remove = () => {
        if (mine !== undefined && whichSocket(path) === mine) rmSync(path, { force: true });
      };
      process.once('exit', remove);
      done(() => {
        process.removeListener('exit', remove);
        server.close();
        remove();
      });
    });
  });

/** Which socket lies there, by its number and its making, as numbers are used again; undefined where none is a file. */
const whichSocket = (path: string): string | undefined => {
  try {
    const { ino, mtimeNs } = statSync(path, { bigint: true });
    return `${ino} ${mtimeNs}`;
  } catch {
    return undefined;
  }
};

/** `free` when its process is dead; empty when it lives and does not answer. */
const askHolder = (path: string): Promise<string> =>
  new Promise((done) => {
    let said = '';
    const socket = connect(path);
    socket.setTimeout(answerWithinMs, () => {
      socket.destroy();
      done(said);
    });
    socket.on('data', (bytes) => {
      said += bytes.toString();
    });
    socket.on('end', () => done(said));
    socket.on('error', (error: NodeJS.ErrnoException) =>
      done(error.code === 'ECONNREFUSED' || error.code === 'ENOENT' ? 'free' : said),
    );
  });
