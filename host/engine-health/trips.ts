import { setImmediate } from 'node:timers/promises';
import { allEngines } from '../../node/index.js';
import type { Envelope, Store, StoredProbe } from '../store/index.js';
import { hoursUnderWay } from './under-way.js';

type OfMinute = { readonly meanC: number; readonly leastC: number; readonly greatestC: number };
/** A minute of one trip, only where every reading of the minute was good. */
export type Minute = { readonly at: number; readonly byProbe: ReadonlyMap<string, OfMinute> };

/** A stretch in which engines ran and the kit was on, hours apart from the next. */
export type Trip = { readonly startAt: number; readonly endAt: number; readonly minutes: readonly Minute[] };

const hourMs = 3_600_000;
const minuteMs = 60_000;

/** What belongs to a trip around the hours in which an engine ran: the cold boat before, the stop for lunch and the cooling after. */
const hoursAround = [1, 0, -1, -2, -3];

/**
 * Trips within a span: whole hours that hold readings, in and around those in which an engine ran, joined when they touch,
 * read by the minute. Yields to other work after every trip, so that a season does not delay live data.
 */
export const tripsOf = async (store: Store, from: number, to: number): Promise<readonly Trip[]> => {
  const probes = store.probes();
  const names = probes.filter(({ quantity }) => quantity === 'temperature').map(({ name }) => name);
  const hours = new Set<number>();
  for (const { name: probe } of probes) {
    const { at, n } = store.values({ probe, from, to, everyMs: hourMs });
    for (const [i, time] of at.entries()) if (n[i]) hours.add(time);
  }
  const underWay = hoursUnderWay(store, { from, to });
  const stretches: { start: number; end: number }[] = [];
  const ofTrips = [...hours].filter((hour) => hoursAround.some((n) => underWay.has(hour + n * hourMs)));
  for (const hour of ofTrips.sort((a, b) => a - b)) {
    const last = stretches.at(-1);
    if (last && hour === last.end) last.end = hour + hourMs;
    else stretches.push({ start: hour, end: hour + hourMs });
  }
  const trips: Trip[] = [];
  for (const { start, end } of stretches) {
    await setImmediate();
    const envelopes = names.map((probe) =>
      store.envelope({ probe, from: start, to: end, everyMs: minuteMs }),
    );
    const minutes = minutesOf(envelopes);
    trips.push({ startAt: minutes[0]?.at ?? start, endAt: minutes.at(-1)?.at ?? end, minutes });
  }
  return trips;
};

const minutesOf = (envelopes: readonly Envelope[]): readonly Minute[] =>
  (envelopes[0]?.at ?? [])
    .map((at, i) => {
      const byProbe = new Map<string, OfMinute>();
      for (const { probe, missing, meanC, minC, maxC } of envelopes) {
        const mean = meanC[i];
        const least = minC[i];
        const greatest = maxC[i];
        if (mean === undefined || least === undefined || greatest === undefined || missing[i]) continue;
        byProbe.set(probe, { meanC: mean, leastC: least, greatestC: greatest });
      }
      return { at, byProbe };
    })
    .filter(({ byProbe }) => byProbe.size > 0);

/** The names of the probes Health needs, by what they measure. */
export const probeNames = (probes: readonly StoredProbe[]) => {
  const at = (place: string, engine: string) =>
    probes.filter(({ card }) => card?.place === place && card.engine === engine);
  return (engine: string): EngineProbes => ({
    elbows: at('wet-elbow', engine).map(({ name, card }) => ({ name, mounting: card?.mounting })),
    gas: at('dry-exhaust', engine)[0]?.name,
    pump: at('raw-water-pressure', engine)[0]?.name,
    sea: (at('sea-water', engine)[0] ?? at('sea-water', allEngines)[0])?.name,
  });
};

type EngineProbes = {
  /** As many as sit on its elbow, in the order of the kit. */
  readonly elbows: readonly { readonly name: string; readonly mounting: string | undefined }[];
  readonly gas: string | undefined;
  /** The pressure behind its raw-water pump. */
  readonly pump: string | undefined;
  readonly sea: string | undefined;
};

export type SteadyPoint = {
  readonly at: number;
  readonly gasC: number;
  readonly riseC: number;
  readonly seaC: number;
};

/** Below this the engine idles or is stopped; the elbow then says little about the water. */
export const leastGasC = 150;
export const lookBack = 4;
export const gasMayMoveC = 12;
const riseMayMoveC = 1.2;

/** Minutes in which load and elbow had settled: little changed in four minutes. */
export const steadyPoints = (
  trip: Trip,
  { elbow, gas, sea }: { elbow: string | undefined; gas: string | undefined; sea: string | undefined },
): readonly SteadyPoint[] => {
  if (!elbow || !gas || !sea) return [];
  const points = trip.minutes.map(({ at, byProbe }) => {
    const e = byProbe.get(elbow)?.meanC;
    const g = byProbe.get(gas)?.meanC;
    const s = byProbe.get(sea)?.meanC;
    return e === undefined || g === undefined || s === undefined
      ? undefined
      : { at, gasC: g, riseC: e - s, seaC: s };
  });
  return points.filter((point, i): point is SteadyPoint => {
    const before = points[i - lookBack];
    if (!point || !before || point.gasC < leastGasC) return false;
    return (
      Math.abs(point.gasC - before.gasC) < gasMayMoveC && Math.abs(point.riseC - before.riseC) < riseMayMoveC
    );
  });
};
