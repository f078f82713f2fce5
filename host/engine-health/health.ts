import { median, sampleStandardDeviation } from 'simple-statistics';
import { allEngines, type EngineCard } from '../../node/index.js';
import type { ServiceEntry, Store } from '../store/index.js';
import { pairsOf } from '../wording/engine-names.js';
import { type Baseline, learnBaseline } from './baseline.js';
import { type ColdSoak, coldSoaks } from './cold-soak.js';
import { type Estimate, effectiveness, twinRatio } from './effectiveness.js';
import { probeNames, type SteadyPoint, steadyPoints, type Trip, tripsOf } from './trips.js';

export type EngineHealth = {
  readonly engine: EngineCard;
  readonly baseline?: Baseline;
  /** When it was learned: the first trips after the last work that made the engine new. */
  readonly baselineFrom?: number;
  /** Some of the points it was learned on, and those of the last trip, for the drawing. */
  readonly learnedOn: readonly SteadyPoint[];
  readonly lastTrip: readonly SteadyPoint[];
  /** By trip; 1 is as when learned. Each stretch between two works has its own baseline. */
  readonly effectiveness: readonly ({ readonly at: number } & Estimate)[];
};

/** Two engines that are alike: the rise of the first over that of the second, against what was normal for this pair. */
export type PairHealth = {
  readonly one: EngineCard;
  readonly other: EngineCard;
  readonly ratio: readonly ({ readonly at: number } & Estimate)[];
};

export type Health = {
  readonly from: number;
  readonly to: number;
  readonly trips: number;
  readonly engines: readonly EngineHealth[];
  readonly pairs: readonly PairHealth[];
  readonly coldSoaks: readonly ColdSoak[];
  readonly work: readonly ServiceEntry[];
};

/** A baseline is learned on the first trips of a stretch, enough to have seen several loads. */
const tripsToLearn = 4;
const mostPointsDrawn = 240;

/** What weeks of history say of the engines. Reads only; a second or so for a season. */
export const healthOf = async (store: Store, from: number, to: number): Promise<Health> => {
  const names = probeNames(store.probes());
  const trips = await tripsOf(store, from, to);
  const work = store.serviceLog({ from: 0, to });
  const engines = store.engines();
  const points = new Map(
    engines.map(({ id }) => [
      id,
      trips.map((trip) => steadyPoints(trip, { ...names.of(id), sea: names.sea })),
    ]),
  );
  const dry = store.probes().flatMap(({ name, card }) => (card && card.place !== 'sea-water' ? [name] : []));
  return {
    from,
    to,
    trips: trips.length,
    engines: engines.map((engine) => ({
      engine,
      ...engineHealth(trips, points.get(engine.id) ?? [], restartsOf(work, engine.id)),
    })),
    pairs: pairsOf(engines).map(([one, other]) => ({
      one,
      other,
      ratio: ratioOf(trips, points.get(one.id) ?? [], points.get(other.id) ?? [], [
        ...restartsOf(work, one.id),
        ...restartsOf(work, other.id),
      ]),
    })),
    coldSoaks: coldSoaks(trips, dry),
    work: work.filter((entry) => entry.at >= from),
  };
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

const ratioOf = (
  trips: readonly Trip[],
  ones: readonly (readonly SteadyPoint[])[],
  others: readonly (readonly SteadyPoint[])[],
  restarts: readonly number[],
) => {
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
    // A few trips tell the usual no better than they agree; what changes between trips is in every one of them.
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
