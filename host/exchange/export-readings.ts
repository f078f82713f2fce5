import { type Columns, rowAt, type Series, type Store } from '../store/index.js';
import type { ExchangeRow } from './exchange-row.js';

export type ExportSpan = { readonly from: number; readonly to: number };

/** The readings of several series in one order of time; of one moment, by name and rate. */
export function* exportReadings(
  store: Store,
  series: readonly Series[],
  { from, to }: ExportSpan,
): Generator<ExchangeRow> {
  const certificates = store.certificates();
  const inOrder = series.toSorted((a, b) => {
    const [one, other] = [`${a.probe.name} ${a.rate}`, `${b.probe.name} ${b.rate}`];
    return one < other ? -1 : 1;
  });
  const heads = inOrder.map((s) => new Head(s, store.columns(s, from, to)));
  for (;;) {
    let next: Head | undefined;
    for (const head of heads) if (head.at < (next?.at ?? Number.POSITIVE_INFINITY)) next = head;
    if (!next) return;
    const { probe, rate } = next.series;
    yield {
      ...(probe.node !== undefined && { node: probe.node }),
      rate,
      reading: rowAt(next.columns as Columns, next.i, { ...probe, probe: probe.name }, certificates),
    };
    next.advance();
  }
}

/** The place in one series: its next reading, or the end of time when there is none. */
class Head {
  at = 0;
  i = -1;
  columns: Columns | undefined;
  readonly series: Series;
  private readonly hours: Generator<Columns>;

  constructor(series: Series, hours: Generator<Columns>) {
    this.series = series;
    this.hours = hours;
    this.advance();
  }

  advance(): void {
    this.i++;
    while (!this.columns || this.i >= this.columns.length) {
      const hour = this.hours.next();
      if (hour.done) {
        this.at = Number.POSITIVE_INFINITY;
        return;
      }
      this.columns = hour.value;
      this.i = 0;
    }
    this.at = this.columns.at[this.i] as number;
  }
}
