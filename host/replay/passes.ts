import { asMonotonicMs, type GuardInput, type Reading, valued } from '../../node/index.js';
import type { ProbeHistory, RecordedHistory, RunSpan } from './history.js';

/** Readings this close together are one pass of the guard, unless one probe gave two readings in that time. */
const togetherMs = 200;

/**
 * History as the guard would have been given it: one input a moment, in order of time. Wall time replaces
 * monotonic time, so that alerts say when in history they happened.
 */
export function* passes({ probes, runSpans }: RecordedHistory): Generator<GuardInput> {
  const next = probes.map(() => 0);
  const running = Object.entries(runSpans).map(([engine, spans]) => [engine, runningAt(spans)] as const);
  for (;;) {
    let first = Number.POSITIVE_INFINITY;
    for (let c = 0; c < probes.length; c++) {
      const at = probes[c]?.at[next[c] ?? 0];
      if (at !== undefined && at < first) first = at;
    }
    if (first === Number.POSITIVE_INFINITY) return;
    let until = first + togetherMs;
    for (let c = 0; c < probes.length; c++) {
      const again = probes[c]?.at[(next[c] ?? 0) + 1];
      if (again !== undefined && again < until) until = again;
    }
    const readings: Reading[] = [];
    let last = first;
    for (let c = 0; c < probes.length; c++) {
      const history = probes[c] as ProbeHistory;
      let i = next[c] as number;
      for (let at = history.at[i]; at !== undefined && at < until; at = history.at[++i]) {
        readings.push(readingOf(history, i, at));
        if (at > last) last = at;
      }
      next[c] = i;
    }
    yield { nowMs: asMonotonicMs(last), readings, running: levels(running, last), board: 'connected' };
  }
}

function readingOf(history: ProbeHistory, i: number, at: number): Reading {
  const { probe, quality } = history;
  const q = quality === 'all good' ? 'good' : (quality[i] ?? 'good');
  return {
    probe,
    readAtMs: asMonotonicMs(at),
    result: q === 'good' ? { kind: 'measured', ...valueAt(history, i) } : { kind: 'missing', reason: q },
  };
}

const valueAt = (history: ProbeHistory, i: number) =>
  'temperatureC' in history
    ? valued('temperature', history.temperatureC[i] as number, 0)
    : valued(history.quantity, history.values[i] as number, 0);

type Level = (at: number) => boolean;

const levels = (running: readonly (readonly [string, Level])[], at: number): GuardInput['running'] =>
  Object.fromEntries(running.map(([engine, level]) => [engine, level(at)]));

/** Ask in order of time. */
function runningAt(spans: readonly RunSpan[]): Level {
  let i = 0;
  return (at) => {
    while (i < spans.length && (spans[i] as RunSpan).endAt < at) i++;
    const span = spans[i];
    return span !== undefined && span.startAt <= at;
  };
}
