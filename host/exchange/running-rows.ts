import type { Engine } from '../../node/index.js';
import type { RunSpan, Store } from '../store/index.js';
import type { ExchangeRow } from './exchange-row.js';

/** Channels so named carry the running input of an engine, where a reading has its temperature: 1 runs, 0 is stopped. */
export const runningPrefix = 'running-';

/** The engine whose running input has this name; nothing for a probe. */
const engineNamed = (name: string): Engine | undefined =>
  name.startsWith(runningPrefix) ? name.slice(runningPrefix.length) : undefined;

/** Every change of every running input within the span, in order of time; a level holds until the next row. */
export function runningRows(
  store: Store,
  { from, to }: { readonly from: number; readonly to: number },
): readonly ExchangeRow[] {
  const row = ({ engine, node }: RunSpan, at: number, level: 0 | 1): ExchangeRow => ({
    node,
    rate: 'second',
    reading: { probe: runningPrefix + engine, at, temperatureC: level, quality: 'good' },
  });
  return store
    .enginesThatRan()
    .flatMap((engine) => store.runSpans({ engine, from, to }))
    .flatMap((span) => [
      row(span, Math.max(from, span.startAt), 1),
      ...(span.endAt < to ? [row(span, span.endAt, 0)] : []),
    ])
    .sort((a, b) => a.reading.at - b.reading.at);
}

/** Puts two lists that are each in order of time into one. */
export function* inOrderOfTime(
  one: Iterable<ExchangeRow>,
  other: Iterable<ExchangeRow>,
): Generator<ExchangeRow> {
  const rest = other[Symbol.iterator]();
  let next = rest.next();
  for (const row of one) {
    for (; !next.done && next.value.reading.at <= row.reading.at; next = rest.next()) yield next.value;
    yield row;
  }
  for (; !next.done; next = rest.next()) yield next.value;
}

/** Gathers the levels of an imported file, in any order, into spans. */
export class RunningLevels {
  private readonly levels: { engine: Engine; node: string; at: number; on: boolean }[] = [];
  private lastAt = 0;

  /** Takes a row that carries a running input; every row shows how far the file reaches. */
  take({ node, reading }: ExchangeRow): boolean {
    this.lastAt = Math.max(this.lastAt, reading.at);
    const engine = engineNamed(reading.probe);
    if (engine === undefined || reading.quality !== 'good') return engine !== undefined;
    this.levels.push({
      engine,
      node: node ?? 'import',
      at: reading.at,
      on: (reading.temperatureC ?? 0) >= 0.5,
    });
    return true;
  }

  /** A level holds until the next row of its input; the last one to the end of the file. */
  spans(): readonly RunSpan[] {
    const running = new Map<string, RunSpan>();
    const spans: RunSpan[] = [];
    for (const { engine, node, at, on } of this.levels.sort((a, b) => a.at - b.at)) {
      const key = `${node} ${engine}`;
      const span = running.get(key);
      if (on && !span) running.set(key, { engine, node, startAt: at, endAt: at });
      if (on || !span) continue;
      spans.push({ ...span, endAt: at });
      running.delete(key);
    }
    return [...spans, ...[...running.values()].map((span) => ({ ...span, endAt: this.lastAt }))];
  }
}
