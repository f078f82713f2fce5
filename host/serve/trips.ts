import { voyagesOf } from '../report/voyages.js';
import type { Span, Store } from '../store/index.js';

const minuteMs = 60_000;
/** The newest; each costs the decoding of its hours. */
const mostTrips = 30;

export type TripProbe = {
  readonly title: string;
  readonly place: string;
  readonly minC: number;
  readonly meanC: number;
  readonly maxC: number;
};

export type Trip = Span & {
  readonly engines: readonly {
    readonly id: string;
    readonly name: string;
    readonly hours: number;
    /** While this engine ran, by whole minutes. */
    readonly probes: readonly TripProbe[];
  }[];
  readonly alerts: { readonly alarm: number; readonly warning: number; readonly caution: number };
};

/** The trips within a span, newest first, as a mechanic asks for them: hours, extremes while running, alerts. */
export const tripsIn = (store: Store, span: Span, nowMs: number): readonly Trip[] =>
  voyagesOf(store, span, nowMs)
    .slice(-mostTrips)
    .reverse()
    .map((trip) => ({ ...trip, engines: enginesOn(store, trip), alerts: alertsOn(store, trip) }));

const enginesOn = (store: Store, trip: Span): Trip['engines'] => {
  const hours = store.hoursRun(trip);
  return store.engines().map(({ id, name }) => {
    const runs = store.runSpans({ engine: id, ...trip });
    const ran = (at: number) =>
      runs.length === 0 || runs.some(({ startAt, endAt }) => at >= startAt && at + minuteMs <= endAt);
    const probes = store
      .probes()
      .filter(
        ({ card }) => card?.engine === id && (card.place === 'wet-elbow' || card.place === 'dry-exhaust'),
      )
      .flatMap(({ name: probe, card }): TripProbe[] => {
        const { at, minC, meanC, maxC } = store.envelope({ probe, ...trip, everyMs: minuteMs });
        const kept = at.flatMap((t, i) => (ran(t) && meanC[i] !== undefined ? [i] : []));
        if (!kept.length || !card) return [];
        const of = (column: readonly (number | undefined)[]) => kept.map((i) => column[i] ?? 0);
        return [
          {
            title: card.name,
            place: card.place,
            minC: of(minC).reduce((a, b) => Math.min(a, b)),
            meanC: of(meanC).reduce((a, b) => a + b) / kept.length,
            maxC: of(maxC).reduce((a, b) => Math.max(a, b)),
          },
        ];
      });
    return { id, name, hours: hours.find(({ engine }) => engine === id)?.hours ?? 0, probes };
  });
};

const alertsOn = (store: Store, trip: Span): Trip['alerts'] => {
  const count = { alarm: 0, warning: 0, caution: 0 };
  for (const { alert, raisedAt } of store.alerts(trip))
    if (raisedAt >= trip.from && raisedAt <= trip.to) count[alert.priority] += 1;
  return count;
};
