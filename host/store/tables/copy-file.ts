import type { File } from './open-file.js';

/** About half a megabyte; between two such steps other work of this process has its turn. */
const pagesAtOnce = 100;

/** From now on this connection sees one moment of the file. */
export const holdStill = (file: File): void => {
  file.exec('BEGIN');
  file.prepare('SELECT count(*) FROM node').get();
};

/**
 * Copies a database to a new file as of this moment, while another process writes. Held still, because SQLite begins a copy
 * again whenever another connection has written (sqlite3_backup_step). `signal` stops it with its reason.
 */
export const copyTo = async (file: File, path: string, signal?: AbortSignal): Promise<void> => {
  holdStill(file);
  try {
    await file.backup(path, {
      progress: () => {
        signal?.throwIfAborted();
        return pagesAtOnce;
      },
    });
  } finally {
    file.exec('ROLLBACK');
  }
};
