import { engineOrAll } from '../../../node/index.js';
import type { File } from './open-file.js';

export type ServiceEntry = {
  readonly id: number;
  /** When the work was done, wall milliseconds. */
  readonly at: number;
  /** The id of an engine, or `all`. */
  readonly engine: string;
  readonly work: string;
  readonly note?: string;
  /** New normal after this work: the learned baseline starts again. */
  readonly restartsBaseline: boolean;
};

/** What was done to the boat and when. */
export class ServiceLog {
  private readonly file: File;

  constructor(file: File) {
    this.file = file;
  }

  /** On disk when it returns. */
  add(entry: Omit<ServiceEntry, 'id'>): ServiceEntry {
    const { lastInsertRowid } = this.file
      .prepare('INSERT INTO serviceEntry(at, entry) VALUES (?, ?)')
      .run(entry.at, JSON.stringify(entry));
    return { id: Number(lastInsertRowid), ...entry };
  }

  /** On disk when it returns; false where there is no such entry. */
  change({ id, ...entry }: ServiceEntry): boolean {
    const { changes } = this.file
      .prepare('UPDATE serviceEntry SET at = ?, entry = ? WHERE id = ?')
      .run(entry.at, JSON.stringify(entry), id);
    return changes > 0;
  }

  /** False where there is no such entry. */
  remove(id: number): boolean {
    return this.file.prepare('DELETE FROM serviceEntry WHERE id = ?').run(id).changes > 0;
  }

  entries({
    from = 0,
    to = Number.MAX_SAFE_INTEGER,
  }: {
    readonly from?: number;
    readonly to?: number;
  } = {}): readonly ServiceEntry[] {
    const rows = this.file
      .prepare('SELECT id, entry FROM serviceEntry WHERE at >= ? AND at < ? ORDER BY at, id')
      .all(from, to) as { id: number; entry: string }[];
    return rows.map(({ id, entry }) => {
      const written = JSON.parse(entry) as Omit<ServiceEntry, 'id'>;
      return { id, ...written, engine: engineOrAll(written.engine) };
    });
  }
}
