import { median, sampleStandardDeviation } from 'simple-statistics';
import { allEngines, type EngineCard } from '../../node/index.js';
import type { ServiceEntry, Store } from '../store/index.js';
import { pairsOf } from '../wording/engine-names.js';
import { type Baseline, learnBaseline } from './baseline.js';
import { type ColdSoak, coldSoaks, fewestProbes } from './cold-soak.js';
import { effectiveness, type OfTrip, twinRatio } from './effectiveness.js';
import { pumpHealth } from './pump-pressure.js';
import type { PumpHealth } from './pump-verdict.js';
import { probeNames, type SteadyPoint, steadyPoints, type Trip, tripsOf } from './trips.js';

export type EngineHealth = {
  readonly engine: EngineCard;
  /** The elbow probe that this is said by: of two on one elbow the one that shows less cooling, as for the guard. */
  readonly elbow?: string;
  readonly baseline?: Baseline;
  /** When it was learned: the first trips after the last work that made the engine new. */
  readonly baselineFrom?: number;
  /** Some of the points it was learned on, and those of the last trip, for the drawing. */
  readonly learnedOn: readonly SteadyPoint[];
  readonly lastTrip: readonly SteadyPoint[];
  /** What the pressure behind its raw-water pump says; absent where there is no such probe, or no gas probe beside it. */
  readonly pump?: PumpHealth;
  /** By trip; 1 is as when learned. Each stretch between two works has its own baseline. */
  readonly effectiveness: readonly OfTrip[];
};

/** Two engines that are alike: the rise of the first over that of the second, against what was normal for this pair. */
export type PairHealth = {
  readonly one: EngineCard;
  readonly other: EngineCard;
  readonly ratio: readonly OfTrip[];
};

export type Health = {
  readonly from: number;
  readonly to: number;
  readonly trips: number;
  readonly engines: readonly EngineHealth[];
  readonly pairs: readonly PairHealth[];
  readonly coldSoaks: readonly ColdSoak[];
  /** Whether the boat has probes enough for cold soaks to say anything. */
  readonly coldSoaksTell: boolean;
  readonly work: readonly ServiceEntry[];
};

/** A baseline is learned on the first trips of a stretch, enough to have seen several loads. */
const tripsToLearn = 4;
const mostPointsDrawn = 240;

/** What weeks of history say of the engines. Reads only; a second or so for a season. */
export const healthOf = async (store: Store, from: number, to: number): Promise<Health> => {
  const names = probeNames(store.probes());
  const trips = await tripsOf(store, from, to);
  const work = store.service.entries({ from: 0, to });
  const engines = store.engines();
  const seen = new Map(
    engines.map(({ id }) => {
      const { elbows, ...others } = names(id);
      return [
        id,
        elbows.map(
          ({ name, mounting }): SeenBy => ({
            elbow: name,
            mounting,
            points: trips.map((trip) => steadyPoints(trip, { ...others, elbow: name })),
          }),
        ),
      ] as const;
    }),
  );
  const pumpOf = (engine: string): Pick<EngineHealth, 'pump'> => {
    const { pump: probe, gas } = names(engine);
    const restarts = restartsOf(work, engine);
    return probe === undefined || gas === undefined
      ? {}
      : { pump: pumpHealth(store, trips, { probe, gas }, (at) => stretchOf(at, restarts)) };
  };
  const dry = store
    .probes()
    .flatMap(({ name, quantity, card }) =>
      card && card.place !== 'sea-water' && quantity === 'temperature' ? [name] : [],
    );
  return {
    from,
    to,
    trips: trips.length,
    engines: engines.map((engine) => ({
      engine,
      ...pumpOf(engine.id),
      ...whatCounts(
        (seen.get(engine.id) ?? []).map(({ elbow, points }) => ({
          elbow,
          ...engineHealth(trips, points, restartsOf(work, engine.id)),
        })),
      ),
    })),
    pairs: pairsOf(engines).map(([one, other]) => ({
      one,
      other,
      ratio: ratioOfPair(trips, seen.get(one.id) ?? [], seen.get(other.id) ?? [], [
        ...restartsOf(work, one.id),
        ...restartsOf(work, other.id),
      ]),
    })),
    coldSoaks: coldSoaks(trips, dry),
    coldSoaksTell: dry.length >= fewestProbes,
    work: work.filter((entry) => entry.at >= from),
  };
};

/** The steady minutes of every trip, as one elbow probe saw them. */
type SeenBy = {
  readonly elbow: string;
  readonly mounting: string | undefined;
  readonly points: readonly (readonly SteadyPoint[])[];
};

const nothingSeen: Omit<EngineHealth, 'engine'> = { learnedOn: [], lastTrip: [], effectiveness: [] };
/** So many trips are judged before a verdict is given. */
const fewestJudged = 3;

/**
 * Each elbow probe is judged by what it was itself when learned, because two on one elbow never read the same. The one
 * with the latest trip counts, and of those the one that shows less cooling.
 */
const whatCounts = (
  each: readonly (Omit<EngineHealth, 'engine'> & { readonly elbow: string })[],
): Omit<EngineHealth, 'engine'> => {
  const lastOf = ({ effectiveness }: Omit<EngineHealth, 'engine'>) =>
    effectiveness.length < fewestJudged ? undefined : effectiveness.at(-1);
  const [first] = [...each].sort((a, b) => {
    const [x, y] = [lastOf(a), lastOf(b)];
    if (x && y) return y.at - x.at || x.value - y.value;
    return x ? -1 : y ? 1 : b.learnedOn.length - a.learnedOn.length;
  });
  return first ?? nothingSeen;
};

const restartsOf = (work: readonly ServiceEntry[], engine: string): readonly number[] =>
  work.filter((w) => w.restartsBaseline && (w.engine === engine || w.engine === allEngines)).map((w) => w.at);

/** The stretch between two works a moment belongs to. */
const stretchOf = (at: number, restarts: readonly number[]): number =>
  restarts.filter((restart) => restart <= at).length;

const engineHealth = (
  trips: readonly Trip[],
  points: readonly (readonly SteadyPoint[])[],
  restarts: readonly number[],
): Omit<EngineHealth, 'engine'> => {
  const learned = new Map<
    number,
    { baseline: Baseline | undefined; from: number; on: readonly SteadyPoint[] }
  >();
  const usable = trips.flatMap((trip, i) => {
    const own = points[i] ?? [];
    return own.length ? [{ trip, own, stretch: stretchOf(trip.startAt, restarts) }] : [];
  });
  for (const { stretch } of usable) {
    if (learned.has(stretch)) continue;
    const first = usable.filter((u) => u.stretch === stretch).slice(0, tripsToLearn);
    const on = first.map((u) => u.own);
    learned.set(stretch, { baseline: learnBaseline(on), from: first[0]?.trip.startAt ?? 0, on: on.flat() });
  }
  const last = usable.at(-1);
  const present = last && learned.get(last.stretch);
  return {
    ...(present?.baseline && { baseline: present.baseline, baselineFrom: present.from }),
    learnedOn: thinned(present?.on ?? []),
    lastTrip: thinned(last?.own ?? []),
    effectiveness: usable.flatMap(({ trip, own, stretch }) => {
      const baseline = learned.get(stretch)?.baseline;
      const found = baseline && effectiveness(own, baseline);
      return found ? [{ at: trip.startAt, ...found }] : [];
    }),
  };
};

/** By two probes that are mounted alike, where there are such, and those that have most to say. */
const ratioOfPair = (
  trips: readonly Trip[],
  ones: readonly SeenBy[],
  others: readonly SeenBy[],
  restarts: readonly number[],
): PairHealth['ratio'] => {
  const pairs = ones.flatMap((one) => others.map((other) => ({ one, other })));
  const alike = pairs.filter(({ one, other }) => one.mounting === other.mounting);
  return (alike.length > 0 ? alike : pairs)
    .map(({ one, other }) => ratioOf(trips, one.points, other.points, restarts))
    .reduce((most, ratio) => (ratio.length > most.length ? ratio : most), []);
};

const ratioOf = (
  trips: readonly Trip[],
  ones: readonly (readonly SteadyPoint[])[],
  others: readonly (readonly SteadyPoint[])[],
  restarts: readonly number[],
): PairHealth['ratio'] => {
  const ratios = trips.flatMap((trip, i) => {
    const found = twinRatio(ones[i] ?? [], others[i] ?? []);
    return found ? [{ at: trip.startAt, ...found, stretch: stretchOf(trip.startAt, restarts) }] : [];
  });
  const normal = new Map<number, { readonly usual: number; readonly scatter: number }>();
  for (const { stretch } of ratios) {
    if (normal.has(stretch)) continue;
    const first = ratios.filter((r) => r.stretch === stretch).slice(0, tripsToLearn);
    const values = first.map((r) => r.value);
    const usual = median(values);
    // A few trips give the usual value no better than they agree; what changes between trips is in every one of them.
    const scatter =
      values.length > 1 ? sampleStandardDeviation(values) * Math.sqrt(1 + 1 / values.length) : 0;
    normal.set(stretch, { usual, scatter });
  }
  return ratios.map(({ stretch, value, uncertainty, ...rest }) => {
    const { usual = 1, scatter = 0 } = normal.get(stretch) ?? {};
    return { ...rest, value: value / usual, uncertainty: Math.hypot(uncertainty, scatter) / usual };
  });
};

const thinned = (points: readonly SteadyPoint[]): readonly SteadyPoint[] => {
  const stride = Math.ceil(points.length / mostPointsDrawn);
  return points.filter((_, i) => i % stride === 0);
};
