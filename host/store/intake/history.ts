import type { Quality, RawUnit } from '../../../node/index.js';
import { hourMs } from '../codec/block.js';
import {
  type Columns,
  emptyColumns,
  firstAtOrAfter,
  inOrderOfTime,
  markOf,
  sliceColumns,
} from '../codec/columns.js';
import type { ForwardCursor } from '../tables/forward-cursor.js';
import type { Names, Rate, Series } from '../tables/names.js';
import type { Readings } from '../tables/readings.js';
import { StoreError } from '../tables/store-error.js';

/** Readings of one probe in bulk, side by side: an invented season, or a converted old logbook. */
export type HistoryColumns = {
  readonly node: string;
  readonly probe: string;
  readonly rate?: Rate;
  /** Wall milliseconds, whole, in order. */
  readonly at: Float64Array;
  /** Ignored where `quality` is not good. Kept to a thousandth of a degree. */
  readonly temperatureC: Float64Array;
  /** All good when absent. */
  readonly quality?: readonly Quality[];
  readonly raw?: Float64Array;
  readonly rawUnit?: RawUnit;
  readonly coldJunctionC?: Float64Array;
  readonly uncertaintyC?: Float64Array;
  readonly certificate?: string;
};

export type Taken = { readonly added: number; readonly already: number; readonly differing: number };

/** Takes readings that do not come over a link: they go straight into hourly blocks. */
export class History {
  private readonly names: Names;
  private readonly readings: Readings;
  private readonly forwardCursor: ForwardCursor;

  constructor(names: Names, readings: Readings, forwardCursor: ForwardCursor) {
    this.names = names;
    this.readings = readings;
    this.forwardCursor = forwardCursor;
  }

  /** Call inside a transaction. What is already stored stays as it is. */
  add(series: Series, columns: Columns): Taken {
    const c = inOrderOfTime(columns);
    const newest = this.readings.newestAt(series);
    let added = 0;
    let differing = 0;
    for (let start = 0; start < c.length; ) {
      const hour = Math.floor((c.at[start] as number) / hourMs);
      const end = firstAtOrAfter(c.at, (hour + 1) * hourMs);
      const result = this.readings.sealHour(series, sliceColumns(c, start, end));
      added += result.added;
      differing += result.differing;
      if (result.added > 0 && (c.at[start] as number) <= newest)
        this.forwardCursor.queueResend(series.id, hour);
      start = end;
    }
    return { added, already: columns.length - added, differing };
  }

  /** Throws `StoreError` when the columns do not fit together. */
  columnsOf(history: HistoryColumns): { readonly series: Series; readonly columns: Columns } {
    const { at, temperatureC, quality, raw, coldJunctionC, uncertaintyC, rawUnit } = history;
    for (const column of [temperatureC, quality, raw, coldJunctionC, uncertaintyC])
      if (column && column.length !== at.length)
        throw new StoreError(
          'bad-history',
          `History of ${history.probe}: ${at.length} times and a column of ${column.length}. Give every column one value for each time.`,
        );
    if ((raw === undefined) !== (rawUnit === undefined))
      throw new StoreError('bad-history', `History of ${history.probe}: give raw and rawUnit together.`);
    const probe = this.names.ofNode(history.node, history.probe);
    if (!this.names.takes(probe, 'temperature'))
      throw new StoreError('other-quantity', `${history.probe} measures ${probe.quantity}, not temperature.`);
    const columns = emptyColumns(at.length);
    columns.at.set(at);
    if (raw) columns.raw.set(raw);
    if (coldJunctionC) columns.coldJunctionC.set(coldJunctionC);
    columns.certificate.fill(this.names.certificateId(history.certificate));
    const common = markOf({
      quality: 'good',
      ...(rawUnit && { rawUnit }),
      ...(coldJunctionC && { coldJunctionC: 0 }),
      ...(uncertaintyC && { uncertaintyC: 0 }),
    });
    for (let i = 0; i < at.length; i++) {
      if (!Number.isSafeInteger(at[i]) || (at[i] as number) < 0)
        throw new StoreError(
          'bad-history',
          `History of ${history.probe}: time ${at[i]} at place ${i} is not a whole number of milliseconds since 1970.`,
        );
      const word = quality?.[i] ?? 'good';
      const milli = word === 'good' ? Math.round((temperatureC[i] as number) * 1000) : 0;
      if (!(Math.abs(milli) <= 1e8))
        throw new StoreError(
          'bad-history',
          `History of ${history.probe}: temperature ${temperatureC[i]} at place ${i} is not one, though its quality is good.`,
        );
      columns.milli[i] = milli;
      if (uncertaintyC) columns.uncertaintyMilli[i] = Math.round((uncertaintyC[i] as number) * 1000);
      columns.marks[i] = word === 'good' ? common : common | markOf({ quality: word });
    }
    return { series: this.names.seriesOf(probe, history.rate ?? 'second'), columns };
  }
}
