import type { AlertRow, ReadingRow } from '../../../node/index.js';

/** A reading of more than this is not the present any more. */
const staleAfterMs = 10_000;

/**
 * A probe's last reading: wall milliseconds, quality, and its value under the name of its quantity and unit. One whose node
 * is not connected, or that is older than ten seconds, has quality `stale` and no value. `ageMs` is absent where the node is not connected.
 */
export const readingPayload = (row: ReadingRow, ageMs: number | undefined): string => {
  const {
    at,
    quality,
    probe: _,
    raw: __,
    rawUnit: ___,
    certificate: ____,
    coldJunctionC: _____,
    ...values
  } = row;
  if (ageMs === undefined || ageMs > staleAfterMs) return JSON.stringify({ at, quality: 'stale' });
  return JSON.stringify({ at, quality, ...values });
};

const rank = { alarm: 0, warning: 1, caution: 2 } as const;

/** Every active alert, most severe first. */
export const alertsPayload = (alerts: readonly AlertRow[]): string =>
  JSON.stringify(
    alerts
      .filter(({ state }) => state !== 'rectified')
      .toSorted((a, b) => rank[a.priority] - rank[b.priority] || a.since - b.since)
      .map(({ id, priority, state, since, message, engine, probe }) => ({
        id,
        priority,
        state,
        since,
        message,
        engine,
        probe,
      })),
  );
