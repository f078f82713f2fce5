import { createHash } from 'node:crypto';
import { realpathSync, rmSync } from 'node:fs';
import { connect, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { RoomError } from '../../node/index.js';
import { makeFolder } from '../files/make-folder.js';

/** Unix socket paths hold 108 bytes on Linux and 104 on macOS. */
const longestPath = 100;
const answerWithinMs = 1_000;

/** Another process of ours works in the data folder. */
export class FolderInUseError extends RoomError {
  readonly code = 'folder-in-use';
  readonly errorCategory = 'unavailable';
}

/**
 * Keeps a second node or host out of a data folder for as long as this process lives: two would write one state file,
 * and two boats' readings would mix. Held by a socket that the system closes when its process dies however it dies, so
 * that nothing is left to clear away after a kill or a power cut. Programs that read beside the host do not ask for it.
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
  for (let tries = 0; tries < 3; tries++) {
    const held = await tryToHold(path);
    if (typeof held === 'function') return held;
    if (held !== 'EADDRINUSE') return notHeld;
    const holder = await askHolder(path);
    if (holder !== 'free')
      throw new FolderInUseError(
        `The data folder ${dataDir} is in use${holder ? ` by ${holder}` : ' by another elbowroom'}. Stop that first, or choose another folder with --data-dir.`,
      );
    rmSync(path, { force: true });
  }
  return notHeld;
};

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
      const remove = () => rmSync(path, { force: true });
      process.once('exit', remove);
      done(() => {
        process.removeListener('exit', remove);
        server.close();
        remove();
      });
    });
  });

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
