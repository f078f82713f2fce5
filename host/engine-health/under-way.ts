import type { Span, Store } from '../store/index.js';

const hourMs = 3_600_000;
/** Exhaust gas above this comes from a running engine. Our choice: idle gas is well above, heat soak seldom. */
const runningAboveC = 100;

/**
 * Starts of the hours within a span in which an engine ran, by the running inputs and by the exhaust gas; every hour that
 * holds readings where neither can say. A computer that is always on stores the nights at the berth, too.
 */
export const hoursUnderWay = (store: Store, span: Span): ReadonlySet<number> => {
  const hours = new Set<number>();
  for (const engine of store.enginesThatRan())
    for (const { startAt, endAt } of store.runSpans({ engine, ...span }))
      for (let hour = hourOf(startAt); hour <= endAt; hour += hourMs) hours.add(hour);
  const probes = store.probes();
  const gas = probes.filter(({ card }) => card?.place === 'dry-exhaust' || card?.place === 'before-turbo');
  const knows = hours.size > 0 || gas.length > 0;
  for (const { name: probe } of knows ? gas : probes) {
    const { at, n, max } = store.values({ probe, ...span, everyMs: hourMs });
    for (const [i, hour] of at.entries()) if (knows ? (max[i] ?? 0) > runningAboveC : n[i]) hours.add(hour);
  }
  return hours;
};

const hourOf = (at: number): number => Math.floor(at / hourMs) * hourMs;
