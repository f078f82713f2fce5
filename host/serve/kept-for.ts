import type { Clock } from '../../node/index.js';

/**
 * Keeps what is computed for each key for so long, because two tablets ask for the same. What fails, and what a clock that was
 * set back has made future, is computed again.
 */
export const keptFor = <Key, Found>(
  forMs: number,
  clock: Pick<Clock, 'wallMs'>,
  compute: (key: Key, nowMs: number) => Promise<Found>,
): ((key: Key) => Promise<Found>) => {
  const kept = new Map<Key, { readonly atMs: number; readonly found: Promise<Found> }>();
  return (key) => {
    const nowMs = clock.wallMs();
    const before = kept.get(key);
    if (before && nowMs - before.atMs < forMs && nowMs >= before.atMs) return before.found;
    const found = compute(key, nowMs);
    kept.set(key, { atMs: nowMs, found });
    found.catch(() => kept.delete(key));
    return found;
  };
};
