import type { Sensed } from '../sense/senses.js';
import { asMonotonicMs, type Clock } from '../time/clock.js';
import type { Recording } from './recording.js';

/**
 * Gives a recording back pass by pass, as it was sensed, moved to the present. After its end everything is disconnected: a
 * recording that is over must not look like a boat at rest.
 */
export const replaySenses = ({ passes }: Recording, clock: Clock): (() => Sensed) => {
  const first = passes[0]?.atMs ?? 0;
  const startedAtMs = clock.monotonicMs();
  let next = 0;
  return () => {
    const atMs = clock.monotonicMs();
    const shift = startedAtMs - first;
    const due: Sensed[] = [];
    for (let pass = passes[next]; pass && pass.atMs + shift <= atMs; pass = passes[next]) {
      due.push(pass);
      next++;
    }
    const last = due.at(-1) ?? (next < passes.length ? passes[Math.max(0, next - 1)] : undefined);
    if (!last)
      return { atMs, board: 'lost', sampled: [], running: {}, referencePin: 'none', complete: false };
    const sampled = due.flatMap((pass) => pass.sampled);
    return {
      ...last,
      atMs,
      sampled: sampled.map((one) => ({ ...one, atMs: asMonotonicMs(one.atMs + shift) })),
    };
  };
};
