import { hoursUnderWay } from '../engine-health/under-way.js';
import type { Span, Store } from '../store/index.js';

/** Further apart than this two runs are two voyages: a lock or a fuel stop does not end one. */
const pauseMs = 3 * 3_600_000;
/** What a report shows before the start and after the stop. */
const marginMs = 5 * 60_000;
const hourMs = 3_600_000;

/** Joins spans that touch or lie within the pause, in order of time. */
export const joined = (spans: readonly Span[], withinMs: number): readonly Span[] => {
  const voyages: { from: number; to: number }[] = [];
  for (const { from, to } of [...spans].sort((a, b) => a.from - b.from)) {
    const last = voyages.at(-1);
    if (last && from - last.to <= withinMs) last.to = Math.max(last.to, to);
    else voyages.push({ from, to });
  }
  return voyages;
};

/**
 * The voyages within a span, oldest first: from the running inputs, or, where no engine has one, the stretches of
 * hours in which the exhaust gas was hot, or at least readings came. A margin of five minutes lies around each. None
 * begins or ends after `nowMs`, whatever a clock that was ahead has stored.
 */
export const voyagesOf = (store: Store, span: Span, nowMs: number): readonly Span[] => {
  const runs = store.enginesThatRan().flatMap((engine) => store.runSpans({ engine, ...span }));
  const spans =
    runs.length > 0
      ? runs.map((r) => ({ from: r.startAt, to: r.endAt }))
      : [...hoursUnderWay(store, span)].map((from) => ({ from, to: from + hourMs }));
  return joined(spans, pauseMs)
    .map(({ from, to }) => ({ from: from - marginMs, to: Math.min(to + marginMs, nowMs) }))
    .filter(({ from, to }) => from < to);
};
