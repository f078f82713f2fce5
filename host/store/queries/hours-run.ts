import type { Engine } from '../../../node/index.js';
import { hourMs } from '../codec/block.js';
import type { StoredProbe } from '../tables/names.js';
import type { RunSpan } from '../tables/run-log.js';
import type { Envelope } from './envelope.js';

export type EngineHours = {
  readonly hours: number;
  /** Where the answer comes from; `none` says that nothing in the kit shows it. */
  readonly basis: 'running-input' | 'exhaust-gas' | 'none';
};
/** Of each engine, in the order of the list that was given. */
export type HoursRun = readonly ({ readonly engine: Engine; readonly name: string } & EngineHours)[];

/** Exhaust gas above this comes from a running engine. Our choice: idle gas is well above, heat soak seldom. */
const runningAboveC = 100;
const minuteMs = 60_000;

type Source = {
  readonly spans: (engine: Engine) => readonly RunSpan[];
  readonly probes: readonly StoredProbe[];
  readonly envelope: (probe: string, from: number, to: number, everyMs: number) => Envelope;
};

/** Hours each engine ran within a span, by its running input or else by its exhaust gas, to the minute. */
export const hoursRun = (
  source: Source,
  engines: readonly { readonly id: Engine; readonly name: string }[],
  from: number,
  to: number,
): HoursRun => {
  const of = (engine: Engine): EngineHours => {
    const spans = source.spans(engine);
    if (spans.length > 0) return { hours: hoursOfSpans(spans, from, to), basis: 'running-input' };
    const gas = source.probes.find(
      ({ card }) =>
        card?.engine === engine && (card.place === 'dry-exhaust' || card.place === 'before-turbo'),
    );
    if (!gas) return { hours: 0, basis: 'none' };
    return { hours: hoursByGas(source, gas.name, from, to), basis: 'exhaust-gas' };
  };
  return engines.map(({ id, name }) => ({ engine: id, name, ...of(id) }));
};

/** Spans of several nodes may overlap; no moment counts twice. */
const hoursOfSpans = (spans: readonly RunSpan[], from: number, to: number): number => {
  let total = 0;
  let coveredTo = from;
  for (const { startAt, endAt } of spans) {
    const start = Math.max(startAt, coveredTo);
    const end = Math.min(endAt, to);
    if (end > start) total += end - start;
    coveredTo = Math.max(coveredTo, end);
  }
  return total / hourMs;
};

/** Whole hours from their minimum and maximum; only hours in which the engine started or stopped are decoded. */
const hoursByGas = (source: Source, probe: string, from: number, to: number): number => {
  const hours = source.envelope(probe, from, to, hourMs);
  let ranMs = 0;
  hours.at.forEach((at, i) => {
    if ((hours.maxC[i] ?? 0) <= runningAboveC) return;
    const minutes = source.envelope(probe, Math.max(at, from), Math.min(at + hourMs, to), minuteMs);
    for (const mean of minutes.meanC) if ((mean ?? 0) > runningAboveC) ranMs += minuteMs;
  });
  return ranMs / hourMs;
};
