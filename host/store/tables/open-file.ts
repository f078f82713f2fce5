import { accessSync, constants, existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { makeFolder } from '../../files/make-folder.js';
import { applicationId, engineLayout, layout, layoutVersion, quantityTable } from './schema.js';
import { StoreError } from './store-error.js';

export type File = Database.Database;

export const storePath = (dataDir: string): string => join(dataDir, 'elbowroom.sqlite');

/** Opens the store in `dataDir`, making folder and file when there are none. Throws `StoreError`. */
export const openFile = (dataDir: string): File => {
  const path = storePath(dataDir);
  try {
    makeFolder(dataDir);
    accessSync(dataDir, constants.W_OK | constants.X_OK);
    if (existsSync(path)) accessSync(path, constants.R_OK | constants.W_OK);
  } catch (cause) {
    throw new StoreError(
      'folder-not-writable',
      `Cannot write in the data folder ${dataDir} (${reasonOf(cause)}). Give yourself write access or choose another with --data-dir.`,
      { cause },
    );
  }
  const isNew = !existsSync(path) || statSync(path).size === 0;
  const file = connect(path, { fileMustExist: false });
  try {
    if (isNew) create(file);
    else {
      check(file, path);
      bringUp(file);
    }
    // Every commit reaches the disk before it counts: measured, NORMAL lost up to 32 s at a power cut.
    file.pragma('journal_mode = WAL');
    file.pragma('synchronous = FULL');
    file.exec(engineLayout);
    return file;
  } catch (cause) {
    file.close();
    throw asStoreError(cause, path);
  }
};

/** Opens an existing store beside a running host, to read only. */
export const openFileToRead = (dataDir: string): File => {
  const path = storePath(dataDir);
  if (!existsSync(path))
    throw new StoreError(
      'no-store',
      `There is no store in ${dataDir} (looked for ${path}). Start elbowroom watch or bench first, or name the folder with --data-dir.`,
    );
  const file = connect(path, { readonly: true, fileMustExist: true });
  try {
    check(file, path);
    return file;
  } catch (cause) {
    file.close();
    throw asStoreError(cause, path);
  }
};

/** How long to wait for another process that writes the same file: an import, or the running host. */
const waitForOthersMs = 20_000;

const connect = (path: string, options: Database.Options): File => {
  try {
    return new Database(path, { ...options, timeout: waitForOthersMs });
  } catch (cause) {
    throw asStoreError(cause, path);
  }
};

const create = (file: File): void => {
  file.pragma('page_size = 4096');
  file.transaction(() => {
    file.exec(layout);
    file.pragma(`application_id = ${applicationId}`);
    file.pragma(`user_version = ${layoutVersion}`);
  })();
};

const check = (file: File, path: string): void => {
  const id = file.pragma('application_id', { simple: true });
  if (id !== applicationId)
    throw new StoreError(
      'not-a-store',
      `${path} is a database of another program (application id ${id}). It was left as it is. Move it away, or choose another folder with --data-dir.`,
    );
  const version = file.pragma('user_version', { simple: true });
  if (typeof version !== 'number' || version < 1 || version > layoutVersion)
    throw new StoreError(
      'store-too-new',
      `${path} has layout ${version}; this program knows layout ${layoutVersion}. It was left as it is. Use the version of elbowroom that wrote it.`,
    );
  const trouble = file.pragma('quick_check(1)', { simple: true });
  if (trouble !== 'ok') throw damaged(path, String(trouble));
};

/** Layout 1 knew temperatures only. */
const bringUp = (file: File): void => {
  if (file.pragma('user_version', { simple: true }) !== 1) return;
  file.transaction(() => {
    file.exec(quantityTable);
    file.pragma(`user_version = ${layoutVersion}`);
  })();
};

const damaged = (path: string, detail: string, cause?: unknown): StoreError =>
  new StoreError(
    'store-damaged',
    `${path} is damaged (${detail}). It was left as it is. Move it away and bring back a copy, or start a new store with another --data-dir; sqlite3 FILE .recover may save much of the old one.`,
    { cause },
  );

const asStoreError = (cause: unknown, path: string): Error => {
  if (cause instanceof StoreError) return cause;
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
  if (code === 'SQLITE_NOTADB')
    return new StoreError(
      'not-a-store',
      `${path} is not a database. It was left as it is. Move it away, or choose another folder with --data-dir.`,
      { cause },
    );
  if (code.startsWith('SQLITE_CORRUPT')) return damaged(path, reasonOf(cause), cause);
  if (code.startsWith('SQLITE_BUSY'))
    return new StoreError('store-busy', `${path} is held by another program. Stop it, then try again.`, {
      cause,
    });
  return new StoreError('folder-not-writable', `Cannot open ${path} (${reasonOf(cause)}).`, { cause });
};

const reasonOf = (cause: unknown): string => (cause instanceof Error ? cause.message : String(cause));
