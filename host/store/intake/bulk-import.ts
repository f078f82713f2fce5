import { type ReadingRow, rowValue } from '../../../node/index.js';
import { columnsFromRows } from '../codec/columns.js';
import type { AlertHistory } from '../tables/alert-log.js';
import type { Rate } from '../tables/names.js';
import type { RunSpan } from '../tables/run-log.js';
import { StoreError } from '../tables/store-error.js';
import { History, type HistoryColumns, type Taken } from './history.js';
import type { StoreTables } from './keeping.js';

/** Rows of an import, checked, all of one probe; `name` is the unique one. */
export type ImportBatch = {
  readonly name: string;
  readonly node?: string;
  readonly rate: Rate;
  readonly rows: readonly ReadingRow[];
};

/** What comes in by the thousand and not over a link, each call one transaction. What is stored already stays as it is. */
export class BulkImport {
  private readonly tables: StoreTables;
  private readonly history: History;

  constructor(tables: StoreTables) {
    this.tables = tables;
    this.history = new History(tables.names, tables.readings, tables.forwardCursor);
  }

  /** Millions of readings a second, of one probe. */
  columns(history: HistoryColumns): Taken {
    return this.whole(() => {
      const { series, columns } = this.history.columnsOf(history);
      return this.history.add(series, columns);
    });
  }

  rows(batches: readonly ImportBatch[]): Taken {
    const { names } = this.tables;
    return this.whole(() => {
      const total = { added: 0, already: 0, differing: 0 };
      for (const { name, node, rate, rows } of batches) {
        const found = new Set(rows.flatMap((row) => rowValue(row)?.quantity ?? []));
        for (const quantity of found)
          if (found.size > 1 || !names.takes(names.ofImport(name, node), quantity))
            throw new StoreError(
              'other-quantity',
              `${name} has readings of another quantity than ${quantity}. Give the probe in the file another id.`,
            );
        const series = names.seriesOf(names.ofImport(name, node), rate);
        const columns = columnsFromRows(rows, (certificate) => names.certificateId(certificate));
        const taken = this.history.add(series, columns);
        total.added += taken.added;
        total.already += taken.already;
        total.differing += taken.differing;
      }
      return total;
    });
  }

  alerts(histories: readonly AlertHistory[]): void {
    this.whole(() => {
      for (const history of histories) this.tables.alertLog.addHistory(history);
    });
  }

  runSpans(spans: readonly RunSpan[]): void {
    this.whole(() => {
      for (const span of spans) this.tables.runLog.add(span);
    });
  }

  private whole<T>(work: () => T): T {
    return this.tables.file.transaction(work)();
  }
}
