import type { Series } from './names.js';
import type { File } from './open-file.js';

export type Resend = { readonly series: number; readonly hour: number; readonly marks: number };
export type RefusedLine = { readonly at: number; readonly line: string; readonly why: string };

/**
 * What each time-series server still lacks. Two marks are enough: how far each series was sent, in time, and
 * which older hours have had late rows since. Both change in the transactions that they describe, so that a
 * process killed anywhere sends a stretch twice at worst and skips none; the server keeps one of two equal points.
 */
export class ForwardCursor {
  private readonly file: File;

  constructor(file: File) {
    this.file = file;
  }

  destinations(): readonly string[] {
    return this.file.prepare('SELECT id FROM destination').pluck().all() as string[];
  }

  /** From now on late rows are noted for this server. What the store already holds will be sent too. */
  addDestination(destination: string): void {
    this.file.prepare('INSERT OR IGNORE INTO destination(id) VALUES (?)').run(destination);
  }

  /** Call in the transaction that stores a row older than the newest of its series. */
  queueResend(series: number, hour: number): void {
    this.file
      .prepare(
        `INSERT INTO owed(destination, series, hour) SELECT id, ?, ? FROM destination WHERE true
         ON CONFLICT DO UPDATE SET marks = marks + 1`,
      )
      .run(series, hour);
  }

  /** Asks for hours to be sent again to one server; gives their number. */
  queueResendSpan(destination: string, series: Series, hours: readonly number[]): number {
    const insert = this.file.prepare(
      `INSERT INTO owed(destination, series, hour) VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET marks = marks + 1`,
    );
    this.file.transaction(() => {
      for (const hour of hours) insert.run(destination, series.id, hour);
    })();
    return hours.length;
  }

  resendQueue(destination: string, atMost: number): readonly Resend[] {
    return this.file
      .prepare('SELECT series, hour, marks FROM owed WHERE destination = ? ORDER BY hour, series LIMIT ?')
      .all(destination, atMost) as Resend[];
  }

  resendCount(destination: string): number {
    return this.file
      .prepare('SELECT count(*) FROM owed WHERE destination = ?')
      .pluck()
      .get(destination) as number;
  }

  /** Time of the last reading of a series that the server has confirmed; -1 before the first. */
  sentThrough(destination: string, series: number): number {
    const at = this.file
      .prepare('SELECT throughAt FROM sent WHERE destination = ? AND series = ?')
      .pluck()
      .get(destination, series);
    return (at as number | undefined) ?? -1;
  }

  /** The server has confirmed a chunk: the marks move, the refused lines are kept, all at once. */
  confirm(
    destination: string,
    progress: { readonly through?: ReadonlyMap<number, number>; readonly resend?: Resend },
    refused: readonly RefusedLine[],
    counters: Readonly<Record<string, number>>,
  ): void {
    const through = this.file.prepare(
      `INSERT INTO sent VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET throughAt = max(throughAt, excluded.throughAt)`,
    );
    const keep = this.file.prepare('INSERT INTO refusedLine(destination, at, line, why) VALUES (?, ?, ?, ?)');
    this.file.transaction(() => {
      for (const [series, at] of progress.through ?? []) through.run(destination, series, at);
      if (progress.resend)
        this.file
          .prepare('DELETE FROM owed WHERE destination = ? AND series = ? AND hour = ? AND marks = ?')
          .run(destination, progress.resend.series, progress.resend.hour, progress.resend.marks);
      for (const { at, line, why } of refused) keep.run(destination, at, line, why);
      this.trimRefused(destination);
      this.file
        .prepare('UPDATE destination SET counters = ? WHERE id = ?')
        .run(JSON.stringify(counters), destination);
    })();
  }

  counters(destination: string): Readonly<Record<string, number>> {
    const text = this.file.prepare('SELECT counters FROM destination WHERE id = ?').pluck().get(destination);
    return JSON.parse((text as string | undefined) ?? '{}') as Record<string, number>;
  }

  refused(destination: string): readonly RefusedLine[] {
    return this.file
      .prepare('SELECT at, line, why FROM refusedLine WHERE destination = ? ORDER BY id DESC')
      .all(destination) as RefusedLine[];
  }

  /** The last hundred refused lines are kept to look at; the counter counts them all. */
  private trimRefused(destination: string): void {
    this.file
      .prepare(
        `DELETE FROM refusedLine WHERE destination = ? AND id NOT IN
         (SELECT id FROM refusedLine WHERE destination = ? ORDER BY id DESC LIMIT 100)`,
      )
      .run(destination, destination);
  }
}
