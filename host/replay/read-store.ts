import type { Engine, GuardSettings, Quality } from '../../node/index.js';
import { qualityOfMark, type Store } from '../store/index.js';
import { type ChannelHistory, type RecordedHistory, type RunSpan, valuesOf } from './history.js';

/**
 * The committed readings of these channels between two wall times, and when the engines ran. Where a running input is
 * wired, no span means that the engine stood.
 */
export function historyFromStore(
  store: Store,
  channels: readonly string[],
  span: { readonly from: number; readonly to: number },
  engines: GuardSettings['engines'],
): RecordedHistory {
  const known = new Set(channels);
  const histories: ChannelHistory[] = [];
  for (const series of store.allSeries()) {
    if (series.rate !== 'second' || !known.has(series.probe.probe)) continue;
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
      channel: series.probe.probe,
      at: Float64Array.from(at),
      quality,
      ...valuesOf(series.probe.quantity, Float64Array.from(values)),
    });
  }
  const runSpans: Record<Engine, readonly RunSpan[]> = {};
  for (const { id: engine, runningInput } of engines) {
    const spans = store.runSpans({ ...span, engine });
    if (spans.length > 0 || runningInput) runSpans[engine] = spans;
  }
  return { channels: histories, runSpans };
}
