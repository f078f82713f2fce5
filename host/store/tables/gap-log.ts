import type { File } from './open-file.js';

/**
 * Frames that a node numbered and this store will never have. `frames` is unknown when the node restarted:
 * what it had not yet sent went with it.
 */
export type Gap = {
  readonly node: string;
  readonly boot: string;
  readonly reason: 'ring-overflow' | 'node-restarted';
  readonly fromSeq?: number;
  readonly toSeq?: number;
  readonly frames?: number;
  /** Times of the last reading before and the first after; absent where there is none (yet). */
  readonly fromAt?: number;
  readonly toAt?: number;
};

export class GapLog {
  private readonly file: File;
  private readonly open = new Set<string>();

  constructor(file: File) {
    this.file = file;
    this.reload();
  }

  reload(): void {
    this.open.clear();
    for (const node of this.file.prepare('SELECT node FROM gap WHERE toAt IS NULL').pluck().all())
      this.open.add(node as string);
  }

  /** Call inside a transaction. */
  add({ node, boot, reason, fromSeq, toSeq, fromAt }: Gap): void {
    this.file
      .prepare('INSERT INTO gap(node, boot, reason, fromSeq, toSeq, fromAt) VALUES (?, ?, ?, ?, ?, ?)')
      .run(node, boot, reason, fromSeq ?? null, toSeq ?? null, fromAt ?? null);
    this.open.add(node);
  }

  /** The first reading after a gap says when it ended. Call inside a transaction. */
  nodeReturned(node: string, at: number): void {
    if (!this.open.delete(node)) return;
    this.file.prepare('UPDATE gap SET toAt = ? WHERE node = ? AND toAt IS NULL').run(at, node);
  }

  between(from: number, to: number): readonly Gap[] {
    const rows = this.file
      .prepare(
        `SELECT node, boot, reason, fromSeq, toSeq, toSeq - fromSeq + 1 AS frames, fromAt, toAt FROM gap
         WHERE coalesce(fromAt, toAt, 0) < ? AND coalesce(toAt, fromAt, 9e15) >= ? ORDER BY id`,
      )
      .all(to, from) as object[];
    return rows.map(
      (row) => Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null)) as Gap,
    );
  }
}
