import { type Engine, type Quality, type Quantity, quantities, valueNames } from '../../node/index.js';
import { type RefusedLine, RunningLevels, readRows } from '../exchange/index.js';
import { type ProbeHistory, type RecordedHistory, type RunSpan, valuesOf } from './history.js';

export type ReadImport = {
  readonly history: RecordedHistory;
  readonly rows: number;
  readonly refused: number;
  readonly firstRefused: readonly RefusedLine[];
  /** Channels the kit does not name, and how many rows each had. */
  readonly unknown: Readonly<Record<string, number>>;
};

const mostShownRefusals = 5;

type Column = {
  at: number[];
  /** Of the first value; temperature until there is one. */
  quantity: Quantity;
  measured: boolean;
  values: number[];
  quality: Quality[];
  ordered: boolean;
  allGood: boolean;
};

/**
 * The history of the kit's probes from a file that `elbowroom import` takes too: CSV, JSON lines or line protocol. A
 * row that cannot be used is counted and the first few are reported with their line. Throws `ImportError`.
 */
export async function readImport(
  chunks: AsyncIterable<Uint8Array>,
  probes: readonly string[],
  engines: readonly Engine[],
  span: { readonly from: number; readonly to: number },
): Promise<ReadImport> {
  const columns = new Map<string, Column>(probes.map((probe) => [probe, emptyColumn()]));
  const running = new RunningLevels();
  const unknown: Record<string, number> = {};
  const firstRefused: RefusedLine[] = [];
  let rows = 0;
  let refused = 0;
  for await (const { line, row } of readRows(chunks)) {
    const refuse = (why: string) => {
      refused++;
      if (firstRefused.length < mostShownRefusals) firstRefused.push({ line, why });
    };
    if (typeof row === 'string') {
      refuse(row);
      continue;
    }
    const { probe, at, quality } = row.reading;
    if (at < span.from || at >= span.to) continue;
    if (running.take(row)) {
      rows++;
      continue;
    }
    const column = columns.get(probe);
    if (!column) {
      unknown[probe] = (unknown[probe] ?? 0) + 1;
      continue;
    }
    const quantity = quantities.find((one) => row.reading[valueNames[one].value] !== undefined);
    if (quantity) {
      if (column.measured && column.quantity !== quantity) {
        refuse(`${probe} has a ${valueNames[quantity].value} here and a ${column.quantity} before`);
        continue;
      }
      column.measured = true;
      column.quantity = quantity;
    }
    rows++;
    if (at < (column.at.at(-1) ?? 0)) column.ordered = false;
    column.at.push(at);
    column.values.push((quantity && row.reading[valueNames[quantity].value]) ?? Number.NaN);
    column.quality.push(quality);
    if (quality !== 'good') column.allGood = false;
  }
  return { history: historyOf(columns, running, engines), rows, refused, firstRefused, unknown };
}

const emptyColumn = (): Column => ({
  at: [],
  quantity: 'temperature',
  measured: false,
  values: [],
  quality: [],
  ordered: true,
  allGood: true,
});

function historyOf(
  columns: ReadonlyMap<string, Column>,
  running: RunningLevels,
  engines: readonly Engine[],
): RecordedHistory {
  const runSpans: Record<Engine, RunSpan[]> = {};
  for (const { engine, startAt, endAt } of running.spans())
    if (engines.includes(engine)) {
      runSpans[engine] ??= [];
      runSpans[engine].push({ startAt, endAt });
    }
  const probes: ProbeHistory[] = [];
  for (const [probe, column] of columns) {
    if (column.at.length === 0) continue;
    const sorted = column.ordered ? column : inOrder(column);
    probes.push({
      probe,
      at: Float64Array.from(sorted.at),
      ...valuesOf(sorted.quantity, Float64Array.from(sorted.values)),
      quality: sorted.allGood ? 'all good' : sorted.quality,
    });
  }
  return { probes, runSpans };
}

function inOrder(column: Column): Column {
  const order = column.at
    .map((_, i) => i)
    .sort((a, b) => (column.at[a] as number) - (column.at[b] as number));
  return {
    ...column,
    at: order.map((i) => column.at[i] as number),
    values: order.map((i) => column.values[i] as number),
    quality: order.map((i) => column.quality[i] as Quality),
  };
}
