import { type Engine, type GuardSettings, type Quality, RoomError } from '../../node/index.js';
import { qualityOfMark, type Store } from '../store/index.js';
import { type ProbeHistory, type RecordedHistory, type RunSpan, valuesOf } from './history.js';

/** Probes of these ids were recorded by several nodes, and by none of the asked name. */
export class UnclearNodeError extends RoomError {
  readonly code = 'unclear-node';
  readonly errorCategory = 'usage';
}

/**
 * The committed readings of these probes between two wall times, and when the engines ran. Where a running input is
 * wired, no span means that the engine was stopped. Where several nodes have probes of one id, those of `node` are
 * taken. Throws `UnclearNodeError`.
 */
export function historyFromStore(
  store: Store,
  probes: readonly string[],
  span: { readonly from: number; readonly to: number },
  engines: GuardSettings['engines'],
  node: string,
): RecordedHistory {
  const all = store
    .allSeries()
    .filter(({ rate, probe }) => rate === 'second' && probes.includes(probe.probe));
  const taken = nodeToTake(new Set(all.flatMap(({ probe }) => probe.node ?? [])), node);
  const isTaken = (by: string | undefined) => by === undefined || taken === undefined || by === taken;
  const histories: ProbeHistory[] = [];
  for (const series of all) {
    if (!isTaken(series.probe.node)) continue;
    const at: number[] = [];
    const values: number[] = [];
    const quality: Quality[] = [];
    for (const columns of store.columns(series, span.from, span.to))
      for (let i = 0; i < columns.length; i++) {
        at.push(columns.at[i] as number);
        values.push((columns.milli[i] as number) / 1000);
        quality.push(qualityOfMark(columns.marks[i] as number));
      }
    histories.push({
      probe: series.probe.probe,
      at: Float64Array.from(at),
      quality,
      ...valuesOf(series.probe.quantity, Float64Array.from(values)),
    });
  }
  const runSpans: Record<Engine, readonly RunSpan[]> = {};
  for (const { id: engine, runningInput } of engines) {
    const spans = store.runSpans({ ...span, engine }).filter((run) => isTaken(run.node));
    if (spans.length > 0 || runningInput) runSpans[engine] = spans;
  }
  return { probes: histories, runSpans };
}

const nodeToTake = (nodes: ReadonlySet<string>, node: string): string | undefined => {
  if (nodes.size < 2 || nodes.has(node)) return nodes.has(node) ? node : undefined;
  throw new UnclearNodeError(
    `The store holds such probes of the nodes ${[...nodes].join(' and ')}, and the kit is of node ${node}. Name the one whose readings are meant in a copy of the kit: node: ${[...nodes][0]}`,
  );
};
