import { median } from 'simple-statistics';
import type { Trip } from './trips.js';

export type ColdSoak = {
  readonly at: number;
  /** Each probe less the median of all, kelvin. */
  readonly offsets: Readonly<Record<string, number>>;
};

/** Metal that was hot for an hour needs a night to cool. */
const soakMs = 8 * 3_600_000;
const mostMinutes = 3;
/** Further apart than this they are not at one temperature. */
const stillColdWithinK = 4;
/** Of two that disagree neither can be called the one that drifts. */
export const fewestProbes = 3;

/**
 * What the probes show about each other after a night: all are at the engine room's temperature, so that they should
 * agree. A drifting probe shows here; a drifting engine does not. `probes` leaves the sea out.
 */
export const coldSoaks = (trips: readonly Trip[], probes: readonly string[]): readonly ColdSoak[] =>
  trips.flatMap((trip, i) => {
    const before = trips[i - 1];
    if (before && trip.startAt - before.endAt < soakMs) return [];
    const minutes = trip.minutes.slice(0, mostMinutes).filter(({ byProbe }) => {
      const values = probes.flatMap((p) => byProbe.get(p)?.meanC ?? []);
      return values.length >= fewestProbes && Math.max(...values) - Math.min(...values) < stillColdWithinK;
    });
    if (!minutes.length) return [];
    const means = probes.flatMap((probe) => {
      const values = minutes.flatMap(({ byProbe }) => byProbe.get(probe)?.meanC ?? []);
      return values.length ? [[probe, median(values)] as const] : [];
    });
    const middle = median(means.map(([, value]) => value));
    return [
      {
        at: trip.startAt,
        offsets: Object.fromEntries(means.map(([probe, value]) => [probe, value - middle])),
      },
    ];
  });
