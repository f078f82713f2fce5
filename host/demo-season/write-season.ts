import { setImmediate } from 'node:timers/promises';
import {
  allEngines,
  type Clock,
  type GuardSettings,
  type KitEngine,
  type ProbeCard,
} from '../../node/index.js';
import type { Store } from '../store/index.js';
import { guardAlerts } from './guard-alerts.js';
import { simulateVoyage } from './simulate-voyage.js';
import { startOf, troubled, voyages, works } from './voyages.js';

export type SeasonOptions = {
  readonly store: Store;
  readonly clock: Clock;
  readonly node: string;
  readonly engines: readonly KitEngine[];
  readonly probes: readonly ProbeCard[];
  /** The guard's own limits, so that the season's alerts are the ones it would have raised. */
  readonly settings: GuardSettings;
  /** Stops between two voyages. */
  readonly signal?: AbortSignal;
};

/** In every reading of the season in place of a certificate, so that none looks measured. */
export const inventedMark = 'invented-season@1';
const dayMs = 86_400_000;

/**
 * Writes a season of history from the simulated plant into a store, so that a new user sees physically consistent data.
 * Does nothing, and says so with `false`, when the store remembers readings of an earlier day that are not the
 * season's, or has the whole season. One that was broken off is gone on with, by the calendar it began with.
 * Gives way to other work after every voyage, so that the page answers meanwhile.
 */
export const writeSeason = async ({ store, clock, ...options }: SeasonOptions): Promise<boolean> => {
  const { node, engines, probes, settings, signal } = options;
  const ids = engines.map(({ id }) => id);
  const first = ids[0] ?? '';
  const nowMs = clock.wallMs();
  const begunMs = seasonBegunMs(store);
  if (begunMs === undefined && remembersBefore(store, nowMs - dayMs)) return false;
  const todayMs = begunMs ?? nowMs;
  if (begunMs === undefined)
    for (const { daysAgo, engine, ...work } of works)
      store.service.add({
        at: todayMs - daysAgo * dayMs,
        engine: engine === allEngines ? engine : troubled(ids)[engine],
        ...work,
      });
  let written = false;
  for (const voyage of voyages) {
    const startAt = startOf(voyage, todayMs);
    const [there] = store.runSpans({ engine: first, from: startAt, to: startAt + 3_600_000 });
    if (there) continue;
    const simulated = await simulateVoyage(voyage, engines, probes, todayMs);
    if (signal?.aborted) return false;
    const { at, byProbe, ran } = simulated;
    for (const [probe, temperatureC] of byProbe)
      store.addHistory({ node, probe, at, temperatureC, certificate: inventedMark });
    store.bulk.alerts(guardAlerts(node, probes, simulated, settings));
    const span = { node, startAt: startAt + ran.fromS * 1000, endAt: startAt + ran.toS * 1000 };
    // Last, because a voyage with its hours counted passes for written.
    store.bulk.runSpans(ids.map((engine) => ({ ...span, engine })));
    written = true;
    await setImmediate();
  }
  return written;
};

/** The moment the season was first written, by its entries in the service log, whose words no owner would write. */
const seasonBegunMs = (store: Store): number | undefined => {
  const [first] = works;
  const entry = store.service.entries().find(({ work }) => work === first?.work);
  return entry && first && entry.at + first.daysAgo * dayMs;
};

const remembersBefore = (store: Store, wallMs: number): boolean =>
  store.allSeries().some((series) => (store.spanOf(series)?.from ?? Number.POSITIVE_INFINITY) < wallMs);
