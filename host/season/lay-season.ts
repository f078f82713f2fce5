import { setImmediate } from 'node:timers/promises';
import type { Clock, ProbeCard } from '../../node/index.js';
import type { Store } from '../store/index.js';
import { highLimitSpells } from './high-limit-spells.js';
import { sail } from './sail.js';
import { voyages, works } from './voyages.js';

export type SeasonOptions = {
  readonly store: Store;
  readonly clock: Clock;
  readonly node: string;
  readonly probes: readonly ProbeCard[];
  /** Ends the work between two voyages. */
  readonly signal?: AbortSignal;
};

/** What every reading of the season bears where a certificate would be named, so that none passes for measured. */
export const inventedMark = 'invented-season@1';
const dayMs = 86_400_000;

/**
 * Lays a season of plant-made history into an empty store, so that a stranger finds something true to the physics.
 * Does nothing, and says so with `false`, when the store already remembers anything before today. Gives way to
 * other work after every voyage, so that the page answers meanwhile.
 */
export const laySeason = async ({ store, clock, node, probes, signal }: SeasonOptions): Promise<boolean> => {
  const nowMs = clock.wallMs();
  if (store.serviceLog().length > 0) return false;
  for (const { daysAgo, ...work } of works) store.addServiceEntry({ at: nowMs - daysAgo * dayMs, ...work });
  for (const voyage of voyages) {
    const { startAt, at, byProbe, ran } = await sail(voyage, probes, nowMs);
    if (signal?.aborted) return false;
    for (const probe of probes) {
      const temperatureC = byProbe.get(probe.id);
      if (!temperatureC) continue;
      store.addHistory({ node, probe: probe.id, at, temperatureC, certificate: inventedMark });
      store.addAlerts([
        ...highLimitSpells(node, probe, 'alarm', { at, temperatureC }),
        ...highLimitSpells(node, probe, 'warning', { at, temperatureC }),
      ]);
    }
    const span = { node, startAt: startAt + ran.fromS * 1000, endAt: startAt + ran.toS * 1000 };
    store.addRunSpans([
      { ...span, engine: 'port' },
      { ...span, engine: 'starboard' },
    ]);
    await setImmediate();
  }
  return true;
};
