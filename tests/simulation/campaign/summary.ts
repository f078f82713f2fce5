import type { Mounting, PlantName } from './campaign-plant.js';
import {
  type BoatRecord,
  type FalseAlert,
  type OfWatchers,
  type WatcherRecord,
  watcherNames,
} from './record.js';
import { poissonInterval, quantile } from './statistics.js';
import type { Load } from './voyage.js';

/** Delays of one kind of fault; a missed one counts as an endless delay, so that missing never looks quick. */
export type Delays = {
  readonly medianS: number | null;
  readonly p95S: number | null;
  readonly missed: number;
  readonly n: number;
};

/** A count, its rate per 1,000 and the exact 95 % interval of that rate. */
export type Rate = {
  readonly count: number;
  readonly per1000: number;
  readonly interval95: readonly number[];
};

export const loads: readonly Load[] = ['wide-open', 'cruise', 'idle', 'start'];
export const mountings: readonly Mounting[] = ['well', 'strap-on'];

/** What many boats of one plant say of one watcher. */
export type WatcherSummary = {
  readonly losses: Readonly<Record<string, Delays>>;
  readonly impeller: Delays;
  readonly strainer: {
    readonly flowLeftMedian: number;
    readonly flowLeftP5: number;
    readonly missed: number;
    readonly n: number;
  };
  readonly hose: { readonly reached: number; readonly unwarned: number };
  readonly brokenProbe: number;
  readonly falseWhile: Readonly<Record<FalseAlert['when'], { readonly all: Rate; readonly alarms: Rate }>>;
  readonly falseByRule: Readonly<Record<string, number>>;
};

export type Summary = {
  readonly plant: PlantName;
  readonly boats: number;
  readonly voyages: number;
  readonly runningHours: number;
  readonly stops: number;
  readonly restarts: number;
  readonly falseStuck: number;
  readonly falseFallen: number;
  readonly falseUnseen: Rate;
  /** Overloads reported by the commissioned guard, and falsely reported ones. */
  readonly overload: Delays;
  readonly falseOverload: Rate;
  readonly armed: { readonly elbows: number; readonly armed: number };
  /** Why elbows were not armed, and how many of them. */
  readonly notArmed: Readonly<Record<string, number>>;
  readonly watchers: OfWatchers<WatcherSummary>;
};

export function summarise(plant: PlantName, all: readonly BoatRecord[]): Summary {
  const boats = all.filter((boat) => boat.plant === plant);
  const sum = (of: (boat: BoatRecord) => number) => boats.reduce((total, boat) => total + of(boat), 0);
  const elbows = boats.flatMap((boat) => boat.elbows);
  const totals = {
    running: sum((b) => b.runningHours),
    stopped: sum((b) => b.stops),
    restart: sum((b) => b.restarts),
  };
  return {
    plant,
    boats: boats.length,
    voyages: sum((b) => b.voyages),
    runningHours: totals.running,
    stops: totals.stopped,
    restarts: totals.restart,
    falseStuck: sum((b) => b.falseStuck),
    falseFallen: sum((b) => b.falseFallen),
    falseUnseen: rateOf(
      sum((b) => b.falseUnseen),
      totals.running,
    ),
    overload: delaysOf(boats.flatMap(({ overloads }) => overloads)),
    falseOverload: rateOf(
      sum((b) => b.falseOverload),
      totals.running,
    ),
    armed: { elbows: elbows.length, armed: elbows.filter(({ armed }) => armed).length },
    notArmed: tally(elbows.flatMap(({ because }) => because.map((why) => why.replace(/[\d.]+/g, '#')))),
    watchers: Object.fromEntries(
      watcherNames.flatMap((name) => {
        const records = boats.flatMap(({ mounting, watchers }) => {
          const record = watchers[name];
          return record ? [{ mounting, record }] : [];
        });
        // A table that lacks some of the boats would not be comparable with the one beside it.
        return records.length === boats.length ? [[name, summariseWatcher(records, totals)]] : [];
      }),
    ) as Summary['watchers'],
  };
}

function summariseWatcher(
  boats: readonly { readonly mounting: Mounting; readonly record: WatcherRecord }[],
  totals: Readonly<Record<FalseAlert['when'], number>>,
): WatcherSummary {
  const gather = <T>(of: (watcher: WatcherRecord) => readonly T[], mounting?: Mounting): T[] =>
    boats.flatMap((boat) => (mounting && boat.mounting !== mounting ? [] : of(boat.record)));
  const falseAlerts = gather((w) => w.falseAlerts);
  const losses = gather((w) => w.losses);
  const strainers = gather((w) => w.strainers);
  const flows = strainers.map((flow) => flow ?? 0);
  const falseWhen = (when: FalseAlert['when']) => {
    const then = falseAlerts.filter((alert) => alert.when === when);
    const alarms = then.filter(({ priority }) => priority === 'alarm');
    return { all: rateOf(then.length, totals[when]), alarms: rateOf(alarms.length, totals[when]) };
  };
  return {
    losses: Object.fromEntries(
      mountings.flatMap((mounting) =>
        loads.map((load) => [
          `${mounting} ${load}`,
          delaysOf(
            gather((w) => w.losses, mounting)
              .filter((loss) => loss.load === load)
              .map(({ afterS }) => afterS),
          ),
        ]),
      ),
    ),
    impeller: delaysOf(gather((w) => w.impellers)),
    strainer: {
      flowLeftMedian: quantile(flows, 0.5),
      flowLeftP5: quantile(flows, 0.05),
      missed: strainers.filter((flow) => flow === null).length,
      n: strainers.length,
    },
    hose: {
      reached: losses.filter(({ hoseUnwarned }) => hoseUnwarned !== null).length,
      unwarned: losses.filter(({ hoseUnwarned }) => hoseUnwarned === true).length,
    },
    brokenProbe: boats.reduce((total, { record }) => total + record.brokenProbe, 0),
    falseWhile: {
      running: falseWhen('running'),
      stopped: falseWhen('stopped'),
      restart: falseWhen('restart'),
    },
    falseByRule: tally(
      falseAlerts.map(({ when, rule, priority, beside }) => `${when} ${rule} ${priority} beside ${beside}`),
    ),
  };
}

export function delaysOf(afterS: readonly (number | null)[]): Delays {
  const endless = afterS.map((s) => s ?? Number.POSITIVE_INFINITY);
  const finite = (value: number) => (Number.isFinite(value) ? Math.round(value * 10) / 10 : null);
  return {
    medianS: finite(quantile(endless, 0.5)),
    p95S: finite(quantile(endless, 0.95)),
    missed: afterS.filter((s) => s === null).length,
    n: afterS.length,
  };
}

function rateOf(count: number, among: number): Rate {
  const per = (events: number) => (1000 * events) / Math.max(1e-9, among);
  return { count, per1000: per(count), interval95: poissonInterval(count).map(per) };
}

function tally(words: readonly string[]): Readonly<Record<string, number>> {
  const counts: Record<string, number> = {};
  for (const word of words) counts[word] = (counts[word] ?? 0) + 1;
  return counts;
}
