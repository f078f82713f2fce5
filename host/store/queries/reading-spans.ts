import type { ReadingRow } from '../../../node/index.js';
import { type Columns, columnsFromRows, rowAt } from '../codec/columns.js';
import type { Intake } from '../intake/intake.js';
import type { StoreTables } from '../intake/keeping.js';
import type { Rate, Series, StoredProbe } from '../tables/names.js';
import { StoreError } from '../tables/store-error.js';
import { bucketWidth, type Envelope, Envelopes, type ValueEnvelope } from './envelope.js';

/** Wall milliseconds, `from` included, `to` not. */
export type Span = { readonly from: number; readonly to: number };

/** Stored readings by probe and span, with what still waits for its commit. */
export class ReadingSpans {
  private readonly tables: Pick<StoreTables, 'names' | 'readings'>;
  private readonly arrivals: Intake['arrivals'];
  private readonly envelopes: Envelopes;

  constructor({ file, names, readings }: StoreTables, arrivals: Intake['arrivals']) {
    this.tables = { names, readings };
    this.arrivals = arrivals;
    this.envelopes = new Envelopes(file, readings);
  }

  /** Every reading of a span as rows, in order of time. Throws `StoreError` for an unknown probe. */
  rows(probe: string, rate: Rate, { from, to }: Span): readonly ReadingRow[] {
    const known = this.probeNamed(probe);
    const { names, readings } = this.tables;
    const rows: ReadingRow[] = [];
    const series = names.existingSeries(known, rate);
    if (series)
      for (const c of readings.columns(series, from, to))
        for (let i = 0; i < c.length; i++) rows.push(rowAt(c, i, known, names.certificates));
    rows.push(...this.arrivals.rowsOf(known, rate, from, to));
    return rows;
  }

  /** As `values`, of a thermometer. Throws `StoreError` for a probe of another quantity. */
  envelope(
    probe: string,
    span: Span,
    width: { readonly atMost: number } | { readonly everyMs: number },
  ): Envelope {
    const { quantity, min, mean, max, ...buckets } = this.values(probe, span, width);
    if (quantity !== 'temperature')
      throw new StoreError('other-quantity', `${probe} measures ${quantity}, not temperature.`);
    return { ...buckets, minC: min, meanC: mean, maxC: max };
  }

  /** Minimum, mean and maximum in at most `atMost` whole buckets, or in buckets of `everyMs`. Throws `StoreError`. */
  values(
    probe: string,
    { from, to }: Span,
    width: { readonly atMost: number } | { readonly everyMs: number },
  ): ValueEnvelope {
    if (!(from >= 0 && to >= from && to < 1e16))
      throw new StoreError(
        'bad-span',
        `A span from ${from} to ${to} is not valid: give milliseconds, from before to.`,
      );
    const known = this.probeNamed(probe);
    const none: Series = { id: -1, probe: known, rate: 'second' };
    return this.envelopes.of(
      this.tables.names.existingSeries(known, 'second') ?? none,
      from,
      to,
      'everyMs' in width ? width.everyMs : bucketWidth(from, to, width.atMost),
      this.waitingOf(known),
    );
  }

  /** Times of the first and last committed reading of a series. */
  whole(series: Series): Span | undefined {
    const { readings } = this.tables;
    const to = readings.newestAt(series);
    const [first] = to < 0 ? [] : readings.hours(series, 0, to + 1);
    if (first === undefined) return undefined;
    return { from: readings.wholeHour(series, first).at[0] ?? to, to };
  }

  private waitingOf(probe: StoredProbe): Columns {
    const rows = this.arrivals.rowsOf(probe, 'second', 0, Number.MAX_VALUE);
    return columnsFromRows(rows, () => 0);
  }

  private probeNamed(name: string): StoredProbe {
    const { names } = this.tables;
    const probe = names.find(name);
    if (probe) return probe;
    const known = names.all().map((p) => p.name);
    throw new StoreError(
      'unknown-probe',
      `The store has no probe ${name}. It has: ${known.length > 0 ? known.join(', ') : 'none yet'}.`,
    );
  }
}
