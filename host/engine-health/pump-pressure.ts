import { median, sampleStandardDeviation } from 'simple-statistics';
import type { Store } from '../store/index.js';
import { estimate } from './effectiveness.js';
import type { PumpHealth } from './pump-verdict.js';
import { gasMayMoveC, leastGasC, lookBack, type Trip } from './trips.js';

/** The settled minutes of one trip: exhaust gas, C, and pressure over its zero, kPa. */
type Point = { readonly gasC: number; readonly kpa: number };

const minuteMs = 60_000;
/** Gas this cold belongs to a stopped engine, whose pump gives nothing: the probe's zero. */
const stoppedGasC = 80;
/** A stopped pump that shows more than this is a fault of the probe, kPa; the guard reports it. */
const mostZeroKpa = 10;
const binC = 20;
const fewestToLearn = 5;
const tripsToLearn = 4;

/**
 * Pressure by trip over what was learned at the same exhaust gas on the first four trips of its stretch. Only exhaust gas that
 * was met while learning counts. `stretchOf` says between which two works a moment is.
 */
export function pumpHealth(
  store: Store,
  trips: readonly Trip[],
  { probe, gas }: { readonly probe: string; readonly gas: string },
  stretchOf: (at: number) => number,
): PumpHealth {
  const settled = trips.flatMap((trip) => {
    const points = settledPoints(store, trip, probe, gas);
    return points.length > 0 ? [{ at: trip.startAt, stretch: stretchOf(trip.startAt), points }] : [];
  });
  const learned = new Map<number, Learned>();
  for (const { stretch } of settled)
    if (!learned.has(stretch))
      learned.set(stretch, learn(settled.filter((s) => s.stretch === stretch).map(({ points }) => points)));
  return {
    probe,
    ratio: settled.flatMap(({ at, stretch, points }) => {
      const known = learned.get(stretch);
      const found = known && estimate(ratiosOf(points, known));
      if (!found) return [];
      return [{ at, ...found, uncertainty: Math.hypot(found.uncertainty, known.scatter) }];
    }),
  };
}

type Learned = {
  readonly kpaByBin: ReadonlyMap<number, number>;
  /** Of one trip to the next while learning, part of the pressure. */
  readonly scatter: number;
};

function learn(trips: readonly (readonly Point[])[]): Learned {
  const first = trips.slice(0, tripsToLearn);
  const bins = new Map<number, number[]>();
  for (const { gasC, kpa } of first.flat()) {
    const bin = Math.floor(gasC / binC);
    bins.set(bin, [...(bins.get(bin) ?? []), kpa]);
  }
  const kpaByBin = new Map(
    [...bins].flatMap(([bin, kpa]) => (kpa.length >= fewestToLearn ? [[bin, median(kpa)] as const] : [])),
  );
  const whole = { kpaByBin, scatter: 0 };
  const ratios = first.flatMap((points) => estimate(ratiosOf(points, whole))?.value ?? []);
  return { kpaByBin, scatter: ratios.length > 1 ? sampleStandardDeviation(ratios) : 0 };
}

const ratiosOf = (points: readonly Point[], { kpaByBin }: Learned): number[] =>
  points.flatMap(({ gasC, kpa }) => {
    const usual = kpaByBin.get(Math.floor(gasC / binC));
    return usual === undefined || usual <= 0 ? [] : [kpa / usual];
  });

function settledPoints(store: Store, trip: Trip, probe: string, gas: string): readonly Point[] {
  const { at, mean } = store.values({
    probe,
    from: trip.startAt,
    to: trip.endAt + minuteMs,
    everyMs: minuteMs,
  });
  const kpaAt = new Map(at.map((time, i) => [time, mean[i]]));
  const minutes = trip.minutes.map(({ at: time, byProbe }) => ({
    gasC: byProbe.get(gas)?.meanC,
    kpa: kpaAt.get(time),
  }));
  const stopped = minutes.flatMap(({ gasC, kpa }) =>
    gasC !== undefined && gasC < stoppedGasC && kpa !== undefined && Math.abs(kpa) < mostZeroKpa ? [kpa] : [],
  );
  const zeroKpa = stopped.length >= fewestToLearn ? median(stopped) : 0;
  return minutes.flatMap(({ gasC, kpa }, i) => {
    const beforeC = minutes[i - lookBack]?.gasC;
    if (gasC === undefined || kpa === undefined || beforeC === undefined) return [];
    if (gasC < leastGasC || Math.abs(gasC - beforeC) >= gasMayMoveC) return [];
    return [{ gasC, kpa: kpa - zeroKpa }];
  });
}
