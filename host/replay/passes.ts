import { asMonotonicMs, type Engine, engines, type GuardInput, type Reading } from '../../node/index.js';
import type { ChannelHistory, RecordedHistory, RunSpan } from './history.js';

/** Readings this close together are one pass of the guard. */
const togetherMs = 200;

/**
 * History as the guard would have been given it: one input a moment, in order of time. Wall time stands in for
 * monotonic time, so that alerts say when in history they happened.
 */
export function* passes({ channels, runSpans }: RecordedHistory): Generator<GuardInput> {
  const next = channels.map(() => 0);
  const running = { port: runningAt(runSpans.port), starboard: runningAt(runSpans.starboard) };
  for (;;) {
    let first = Number.POSITIVE_INFINITY;
    for (let c = 0; c < channels.length; c++) {
      const at = channels[c]?.at[next[c] ?? 0];
      if (at !== undefined && at < first) first = at;
    }
    if (first === Number.POSITIVE_INFINITY) return;
    const readings: Reading[] = [];
    let last = first;
    for (let c = 0; c < channels.length; c++) {
      const history = channels[c] as ChannelHistory;
      let i = next[c] as number;
      for (let at = history.at[i]; at !== undefined && at < first + togetherMs; at = history.at[++i]) {
        readings.push(readingOf(history, i, at));
        if (at > last) last = at;
      }
      next[c] = i;
    }
    yield { nowMs: asMonotonicMs(last), readings, running: levels(running, last), board: 'connected' };
  }
}

function readingOf({ channel, quality, temperatureC }: ChannelHistory, i: number, at: number): Reading {
  const q = quality === 'all good' ? 'good' : (quality[i] ?? 'good');
  return {
    probe: channel,
    readAtMs: asMonotonicMs(at),
    result:
      q === 'good'
        ? { kind: 'measured', temperatureC: temperatureC[i] as number, uncertaintyC: 0 }
        : { kind: 'missing', reason: q },
  };
}

type Level = ((at: number) => boolean) | undefined;

function levels(running: Readonly<Record<Engine, Level>>, at: number): GuardInput['running'] {
  const now: { [engine in Engine]?: boolean } = {};
  for (const engine of engines) {
    const level = running[engine]?.(at);
    if (level !== undefined) now[engine] = level;
  }
  return now;
}

/** Ask in order of time. */
function runningAt(spans: readonly RunSpan[] | undefined): Level {
  if (!spans) return undefined;
  let i = 0;
  return (at) => {
    while (i < spans.length && (spans[i] as RunSpan).endAt < at) i++;
    const span = spans[i];
    return span !== undefined && span.startAt <= at;
  };
}
