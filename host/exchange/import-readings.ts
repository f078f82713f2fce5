import type { ReadingRow } from '../../node/index.js';
import type { ImportBatch, Rate, Store, Taken } from '../store/index.js';
import type { ExchangeRow } from './exchange-row.js';
import { type RefusedLine, readRows } from './read-rows.js';
import { RunningLevels } from './running-rows.js';

export type Imported = Taken & {
  readonly lines: number;
  readonly refused: number;
  /** The first of the refused, to look at. */
  readonly firstRefused: readonly RefusedLine[];
};

const batchRows = 50_000;
const mostShown = 10;

/**
 * Reads CSV, JSON lines or line protocol, whichever the first line is, and stores what is new. A line that cannot be
 * read is counted and reported; the others are imported.
 */
export const importReadings = async (
  store: Store,
  chunks: AsyncIterable<Uint8Array>,
  options: { readonly rate?: Rate } = {},
): Promise<Imported> => {
  const batch = new Batch(store, options.rate);
  const running = new RunningLevels();
  const firstRefused: RefusedLine[] = [];
  let lines = 0;
  let refused = 0;
  for await (const { line, row } of readRows(chunks)) {
    lines++;
    if (typeof row !== 'string') {
      if (!running.take(row)) batch.add(row);
    } else {
      refused++;
      if (firstRefused.length < mostShown) firstRefused.push({ line, why: row });
    }
  }
  store.bulk.runSpans(running.spans());
  return { ...batch.end(), lines, refused, firstRefused };
};

/** Gathers rows by series, so that the store takes whole runs at a time. */
class Batch {
  private series = new Map<string, { batch: Omit<ImportBatch, 'rows'>; rows: ReadingRow[] }>();
  private rows = 0;
  private total: Taken = { added: 0, already: 0, differing: 0 };
  private readonly store: Store;
  private readonly rate: Rate | undefined;

  constructor(store: Store, rate: Rate | undefined) {
    this.store = store;
    this.rate = rate;
  }

  add({ node, rate: ownRate, reading }: ExchangeRow): void {
    const rate = this.rate ?? ownRate;
    const key = `${reading.probe} ${rate}`;
    let known = this.series.get(key);
    if (!known) {
      known = { batch: { name: reading.probe, rate, ...(node !== undefined && { node }) }, rows: [] };
      this.series.set(key, known);
    }
    known.rows.push(reading);
    if (++this.rows >= batchRows) this.flush();
  }

  end(): Taken {
    this.flush();
    return this.total;
  }

  private flush(): void {
    const { added, already, differing } = this.store.bulk.rows(
      [...this.series.values()].map(({ batch, rows }) => ({ ...batch, rows })),
    );
    this.total = {
      added: this.total.added + added,
      already: this.total.already + already,
      differing: this.total.differing + differing,
    };
    this.series = new Map();
    this.rows = 0;
  }
}
