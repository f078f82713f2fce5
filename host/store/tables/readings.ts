import { type ReadingRow, rowValue } from '../../../node/index.js';
import { type Block, hourMs, packBlock, unpackBlock } from '../codec/block.js';
import {
  type Columns,
  emptyColumns,
  firstAtOrAfter,
  markOf,
  mergeColumns,
  sliceColumns,
} from '../codec/columns.js';
import type { Names, Series } from './names.js';
import type { File } from './open-file.js';
import { StoreError } from './store-error.js';

/** As in the file: time, milliCelsius, raw, coldJunction, uncertainty, certificate, quality. */
type RecentRow = [number, number | null, number | null, number | null, number | null, number | null, number];

/** The two places readings are in, `recent` and `block`, as one. */
export class Readings {
  private readonly names: Names;
  private readonly insert;
  private readonly recentOf;
  private readonly recentHoursOf;
  private readonly blockHours;
  private readonly blockOf;
  private readonly insertBlock;
  private readonly deleteBlock;
  private readonly newestRecent;
  private readonly newestHour;

  constructor(file: File, names: Names) {
    this.names = names;
    this.insert = file.prepare('INSERT OR IGNORE INTO recent VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
    this.recentOf = file
      .prepare(
        `SELECT time, milliCelsius, raw, coldJunction, uncertaintyMilliCelsius, certificate, quality
         FROM recent WHERE time >= ? AND time < ? AND series = ? ORDER BY time`,
      )
      .raw();
    this.recentHoursOf = file
      .prepare(`SELECT DISTINCT time / ${hourMs} FROM recent WHERE time >= ? AND time < ? AND series = ?`)
      .pluck();
    this.blockHours = file
      .prepare('SELECT hour FROM block WHERE series = ? AND hour BETWEEN ? AND ?')
      .pluck();
    this.blockOf = file.prepare(
      'SELECT id, hour, n, missing, trace, rest FROM block WHERE series = ? AND hour = ?',
    );
    this.insertBlock = file.prepare(
      'INSERT INTO block(series, hour, n, missing, min, max, sum, trace, rest) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)',
    );
    this.deleteBlock = file.prepare('DELETE FROM block WHERE id = ?');
    this.newestRecent = file
      .prepare('SELECT time FROM recent WHERE series = ? ORDER BY time DESC LIMIT 1')
      .pluck();
    this.newestHour = file.prepare('SELECT max(hour) FROM block WHERE series = ?').pluck();
  }

  /** Whether the reading is new; one of the same series and millisecond stays as it is. */
  add(series: Series, row: ReadingRow): boolean {
    const value = rowValue(row);
    return (
      this.insert.run(
        row.at,
        series.id,
        value === undefined ? null : Math.round(value.value * 1000),
        row.raw ?? null,
        row.coldJunctionC ?? null,
        value?.uncertainty === undefined ? null : Math.round(value.uncertainty * 1000),
        row.certificate === undefined ? null : this.names.certificateId(row.certificate),
        markOf(row),
      ).changes === 1
    );
  }

  /**
   * Hands over every stored reading of a span in order of time, an hour at a time. Each hour is read whole when its
   * turn comes, so that others may read and write in between.
   */
  *columns(series: Series, from: number, to: number): Generator<Columns> {
    for (const hour of this.hours(series, from, to)) yield cut(this.wholeHour(series, hour), from, to);
  }

  /** Hours of a span that hold readings, in order. */
  hours(series: Series, from: number, to: number): readonly number[] {
    const first = Math.floor(from / hourMs);
    const last = Math.floor((to - 1) / hourMs);
    const sealed = this.blockHours.all(series.id, first, last) as number[];
    const all = new Set([...sealed, ...this.recentHours(series, from, to)]);
    return [...all].sort((a, b) => a - b);
  }

  /** Hours of a span that have rows outside the blocks. */
  recentHours(series: Series, from: number, to: number): readonly number[] {
    return this.recentHoursOf.all(from, to, series.id) as number[];
  }

  /** Everything known of one hour, sealed or not. */
  wholeHour(series: Series, hour: number): Columns {
    const block = this.blockOf.get(series.id, hour) as StoredBlock | undefined;
    const late = this.recentHour(series, hour);
    if (!block) return late;
    const sealed = unpackStored(series, block);
    return late.length === 0 ? sealed : mergeColumns(sealed, late).columns;
  }

  /** Puts readings of one hour into its block, merging with what is there. Call inside a transaction. */
  sealHour(series: Series, columns: Columns): { readonly added: number; readonly differing: number } {
    if (columns.length === 0) return { added: 0, differing: 0 };
    const hour = Math.floor((columns.at[0] ?? 0) / hourMs);
    const old = this.blockOf.get(series.id, hour) as StoredBlock | undefined;
    let packed = columns;
    let result = { added: columns.length, differing: 0 };
    if (old) {
      const merged = mergeColumns(unpackStored(series, old), columns);
      result = { added: merged.added, differing: merged.differing };
      if (merged.added === 0) return result;
      packed = merged.columns;
      this.deleteBlock.run(old.id);
    }
    const b = packBlock(packed);
    this.insertBlock.run(series.id, hour, b.n, b.missing, b.min, b.max, b.sum, b.trace, b.rest);
    return result;
  }

  recentHour(series: Series, hour: number): Columns {
    return toColumns(
      this.recentOf.all(hour * hourMs, (hour + 1) * hourMs, series.id) as unknown as RecentRow[],
    );
  }

  /** Time of the newest stored reading of a series; -1 when it has none. */
  newestAt(series: Series): number {
    const recent = (this.newestRecent.get(series.id) as number | undefined) ?? -1;
    const hour = this.newestHour.get(series.id) as number | null;
    if (hour === null || recent >= (hour + 1) * hourMs) return recent;
    return this.wholeHour(series, hour).at.at(-1) ?? recent;
  }

  /** The newest reading of a series as columns of length one, or of none. */
  newest(series: Series): Columns {
    const at = this.newestAt(series);
    if (at < 0) return emptyColumns(0);
    const hour = this.wholeHour(series, Math.floor(at / hourMs));
    return sliceColumns(hour, hour.length - 1, hour.length);
  }
}

export type StoredBlock = Pick<Block, 'hour' | 'n' | 'missing' | 'trace' | 'rest'> & { readonly id: number };

const unpackStored = (series: Series, block: StoredBlock): Columns => {
  try {
    return unpackBlock(block);
  } catch (cause) {
    throw damagedBlock(series, block.hour, cause);
  }
};

export const damagedBlock = (series: Series, hour: number, cause: unknown): StoreError =>
  new StoreError(
    'store-damaged',
    `The hour from ${new Date(hour * hourMs).toISOString()} of ${series.probe.name} is damaged in the store (${cause instanceof Error ? cause.message : cause}). The other hours are whole. Bring back a copy of the file, or export around this hour.`,
    { cause },
  );

const toColumns = (rows: readonly RecentRow[]): Columns => {
  const c = emptyColumns(rows.length);
  rows.forEach(([time, milli, raw, coldJunction, uncertainty, certificate, mark], i) => {
    c.at[i] = time;
    c.milli[i] = milli ?? 0;
    c.raw[i] = raw ?? 0;
    c.coldJunctionC[i] = coldJunction ?? 0;
    c.uncertaintyMilli[i] = uncertainty ?? 0;
    c.certificate[i] = certificate ?? 0;
    c.marks[i] = mark;
  });
  return c;
};

const cut = (c: Columns, from: number, to: number): Columns => {
  const start = firstAtOrAfter(c.at, from);
  const end = firstAtOrAfter(c.at, to);
  return start === 0 && end === c.length ? c : sliceColumns(c, start, end);
};
