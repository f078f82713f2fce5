import type { Span, Store } from '../store/index.js';

const hourMs = 3_600_000;
/** Exhaust gas above this comes from a running engine. Our choice: idle gas is well above, heat soak seldom. */
const runningAboveC = 100;

/**
 * Starts of the hours within a span in which an engine ran, by the running inputs and by the exhaust gas; every hour with
 * readings in which neither can say. A computer that is always on stores the nights at the berth, too.
 */
export const hoursUnderWay = (store: Store, span: Span): ReadonlySet<number> => {
  const hours = new Set<number>();
  for (const engine of store.enginesThatRan())
    for (const { startAt, endAt } of store.runSpans({ engine, ...span }))
      for (let hour = hourOf(startAt); hour <= endAt; hour += hourMs) hours.add(hour);
  const hasInputs = hours.size > 0;
  const judged = new Set<number>();
  const isGas = ({ card }: ReturnType<Store['probes']>[number]) =>
    card?.place === 'dry-exhaust' || card?.place === 'before-turbo';
  const hoursOf = (probe: string) => {
    const { at, n, max } = store.values({ probe, ...span, everyMs: hourMs });
    return [...at].flatMap((hour, i) => (n[i] ? [{ hour, hottestC: max[i] ?? 0 }] : []));
  };
  for (const { name } of store.probes().filter(isGas))
    for (const { hour, hottestC } of hoursOf(name)) {
      judged.add(hour);
      if (hottestC > runningAboveC) hours.add(hour);
    }
  if (hasInputs) return hours;
  for (const { name } of store.probes().filter((probe) => !isGas(probe)))
    for (const { hour } of hoursOf(name)) if (!judged.has(hour)) hours.add(hour);
  return hours;
};

const hourOf = (at: number): number => Math.floor(at / hourMs) * hourMs;
