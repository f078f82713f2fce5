import { type NodeMessage, type NumberedMessage, rowValue } from '../../../node/index.js';
import { hourMs } from '../codec/block.js';
import type { AlertLog } from '../tables/alert-log.js';
import type { ClockLog } from '../tables/clock-log.js';
import type { EngineList } from '../tables/engine-list.js';
import type { ForwardCursor } from '../tables/forward-cursor.js';
import type { GapLog } from '../tables/gap-log.js';
import type { Names, Rate, Series } from '../tables/names.js';
import type { File } from '../tables/open-file.js';
import type { Readings } from '../tables/readings.js';
import type { RunLog } from '../tables/run-log.js';
import type { Arrival } from './arrivals.js';
import type { Sealing } from './sealing.js';

/** Everything that a commit writes to. */
export type StoreTables = {
  readonly file: File;
  readonly names: Names;
  readonly readings: Readings;
  readonly alertLog: AlertLog;
  readonly gapLog: GapLog;
  readonly clockLog: ClockLog;
  readonly runLog: RunLog;
  readonly engineList: EngineList;
  readonly forwardCursor: ForwardCursor;
  readonly sealing: Sealing;
};

export type Kept = {
  /** Highest number per node and boot that is now on disk. */
  readonly progress: readonly { readonly node: string; readonly boot: string; readonly seq: number }[];
  readonly readings: number;
  /** Readings that fell on a millisecond already taken by another of the same series. */
  readonly collisions: number;
  /** Readings of another quantity than their probe's. */
  readonly refused: number;
};

/** Writes arrivals in one transaction: all of them are on disk when it returns, or none. */
export const keepArrivals = (tables: StoreTables, arrivals: readonly Arrival[]): Kept =>
  tables.file.transaction(() => {
    const commit = new Commit(tables);
    for (const arrival of arrivals)
      if (arrival.kind === 'gap') tables.gapLog.add(arrival.gap);
      else commit.take(arrival.numbered);
    return commit.end();
  })();

class Commit {
  private readings = 0;
  private collisions = 0;
  private refused = 0;
  private readonly newest = new Map<number, number>();
  private readonly progress = new Map<string, NumberedMessage>();
  private readonly tables: StoreTables;

  constructor(tables: StoreTables) {
    this.tables = tables;
  }

  take(numbered: NumberedMessage): void {
    const { node, boot, message } = numbered;
    this.progress.set(`${node} ${boot}`, numbered);
    this.tables.clockLog.take(numbered);
    if (message.kind === 'hello') this.hello(node, message);
    else if (message.kind === 'readings') this.rows(node, message.rate, message.rows);
    else if (message.kind === 'alerts') this.tables.alertLog.take(node, message.at, message.alerts);
    else this.tables.runLog.take(node, message.at, message.running);
  }

  end(): Kept {
    const save = this.tables.file.prepare(
      'INSERT INTO progress VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET seq = max(seq, excluded.seq)',
    );
    const progress = [...this.progress.values()].map(({ node, boot, seq }) => ({ node, boot, seq }));
    for (const { node, boot, seq } of progress) save.run(node, boot, seq);
    return { progress, readings: this.readings, collisions: this.collisions, refused: this.refused };
  }

  private hello(
    node: string,
    { boat, invented, engines, probes }: Extract<NodeMessage, { kind: 'hello' }>,
  ): void {
    this.tables.file
      .prepare(
        `INSERT INTO node VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET boat = excluded.boat, invented = excluded.invented`,
      )
      .run(node, boat, invented ? 1 : 0);
    this.tables.engineList.set(node, engines);
    for (const card of probes) this.tables.names.setCard(this.tables.names.ofNode(node, card.id), card);
  }

  private rows(node: string, rate: Rate, rows: Extract<NodeMessage, { kind: 'readings' }>['rows']): void {
    const { names, readings, gapLog, sealing, forwardCursor } = this.tables;
    const first = rows[0];
    if (first) gapLog.nodeReturned(node, first.at);
    for (const row of rows) {
      const probe = names.ofNode(node, row.probe);
      const value = rowValue(row);
      if (value && !names.takes(probe, value.quantity)) {
        this.refused++;
        continue;
      }
      // The list of probes may have been read again since.
      const series = names.seriesOf(names.ofNode(node, row.probe), rate);
      const newest = this.newestOf(series);
      if (!readings.add(series, row)) {
        this.collisions++;
        continue;
      }
      this.readings++;
      sealing.rowCame(series, row.at);
      if (row.at > newest) this.newest.set(series.id, row.at);
      else forwardCursor.queueResend(series.id, Math.floor(row.at / hourMs));
    }
  }

  private newestOf(series: Series): number {
    const known = this.newest.get(series.id);
    if (known !== undefined) return known;
    const newest = this.tables.readings.newestAt(series);
    this.newest.set(series.id, newest);
    return newest;
  }
}
