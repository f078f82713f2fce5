import { setImmediate } from 'node:timers/promises';
import type { Store } from '../store/index.js';

/** How hot a probe was, and how often: what a setpoint would have met. */
export type Exceedance = {
  readonly probe: string;
  readonly hours: number;
  readonly days: number;
  /** Minutes whose greatest reading fell into each degree, from `fromC` upward. */
  readonly fromC: number;
  readonly minutes: readonly number[];
  /** For each of the same degrees: how often a limit there would have been passed, with a minute's rest between. */
  readonly passed: readonly number[];
};

const hourMs = 3_600_000;
const minuteMs = 60_000;
const hottestC = 1100;

/**
 * Looks through the stored hours of one probe by the minute. A passing counts once until the greatest reading of a
 * minute has come 2 degrees below the limit again. Gives way to other work between hours.
 */
export const exceedanceOf = async (
  store: Store,
  probe: string,
  from: number,
  to: number,
): Promise<Exceedance> => {
  const { at, n, maxC } = store.envelope({ probe, from, to, everyMs: hourMs });
  const filled = at.filter((_, i) => n[i]);
  const hottest = Math.min(hottestC, Math.ceil(Math.max(0, ...maxC.filter((c) => typeof c === 'number'))));
  const minutes = new Array<number>(hottest + 1).fill(0);
  const passed = new Array<number>(hottest + 1).fill(0);
  const above = new Array<boolean>(hottest + 1).fill(false);
  let total = 0;
  for (const [index, hour] of filled.entries()) {
    if (index % 8 === 0) await setImmediate();
    for (const greatest of store.envelope({ probe, from: hour, to: hour + hourMs, everyMs: minuteMs }).maxC) {
      if (typeof greatest !== 'number') continue;
      total += 1;
      const degree = Math.min(hottest, Math.max(0, Math.floor(greatest)));
      minutes[degree] = (minutes[degree] ?? 0) + 1;
      for (let limit = 0; limit <= hottest; limit++) {
        if (!above[limit] && greatest >= limit) {
          above[limit] = true;
          passed[limit] = (passed[limit] ?? 0) + 1;
        } else if (above[limit] && greatest < limit - 2) above[limit] = false;
      }
    }
  }
  return { probe, hours: total / 60, days: (to - from) / (24 * hourMs), fromC: 0, minutes, passed };
};
