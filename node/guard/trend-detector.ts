import type { Condition } from '../alerts/condition.js';
import { allEngines } from '../kit/engines.js';
import { type ElbowBaseline, expectedRiseK, warmUpS } from './baseline.js';
import type { ElbowView } from './elbow-view.js';
import type { ProbeSettings } from './settings.js';
import { falls, median, theilSenSlope } from './trend-tests.js';

/**
 * What months say of one elbow. Effectiveness is the rise that was learned over the rise that is measured, in steady
 * minutes: 1 is as commissioned, 0.9 is a tenth less water. What clogs on the coolant side does not show at the elbow.
 */
export type TrendState = {
  /** Of the steady minute that goes on. */
  readonly minuteS: number;
  readonly riseSumKS: number;
  readonly expectedSumKS: number;
  readonly twinGasSumKS: number;
  /** Of this trip: effectiveness of each steady minute, against the twin's, and the exhaust gas against the twin's. */
  readonly minutes: readonly number[];
  readonly againstTwin: readonly number[];
  readonly gasAgainstTwin: readonly number[];
  readonly lastMinute: number | undefined;
  readonly sinceMinuteS: number;
  /** Median effectiveness of the last trips, oldest first, 20 at most. */
  readonly trips: readonly number[];
  /** Sums of how far the twin comparison strays, in standard deviations. */
  readonly waterCusum: number;
  readonly gasCusum: number;
};

export const trendAtRest: TrendState = {
  minuteS: 0,
  riseSumKS: 0,
  expectedSumKS: 0,
  twinGasSumKS: 0,
  minutes: [],
  againstTwin: [],
  gasAgainstTwin: [],
  lastMinute: undefined,
  sinceMinuteS: 0,
  trips: [],
  waterCusum: 0,
  gasCusum: 0,
};

/** What the trend detector knows of the other engine's elbow. */
export type Twin = {
  readonly lastMinute: number | undefined;
  readonly sinceMinuteS: number;
  readonly exhaustC: number | undefined;
};

const mostMinutes = 600;
const mostTrips = 20;
/** A trip with fewer steady minutes says nothing. */
const leastMinutes = 5;
/** Spread of the twin ratio from trip to trip; measured in simulation by a prototype. */
const twinSd = 0.013;
/** Allowance and limit of the sums, standard deviations. */
const allowance = 1.5;
const limit = 5;
/** A fall over the last trips counts only from this part on. */
const leastFall = 0.05;

/** `twin` is absent where no elbow is mounted alike on the other engine. */
export function stepTrend(
  state: TrendState,
  view: ElbowView,
  baseline: ElbowBaseline,
  twin: Twin | undefined,
): TrendState {
  const { exhaust, seaC, dtS } = view;
  if (view.phase !== 'running') return state.minutes.length === 0 ? state : endTrip(state, baseline);
  const steady =
    exhaust && seaC !== undefined && view.warmS >= warmUpS && Math.abs(exhaust.a - exhaust.c) <= 10;
  const within = exhaust && exhaust.a >= baseline.gasC.min && exhaust.a <= baseline.gasC.max;
  if (!steady || !within) {
    const sinceMinuteS = state.sinceMinuteS + dtS;
    return { ...state, minuteS: 0, riseSumKS: 0, expectedSumKS: 0, twinGasSumKS: 0, sinceMinuteS };
  }
  const next = {
    ...state,
    minuteS: state.minuteS + dtS,
    riseSumKS: state.riseSumKS + (view.elbowC - seaC) * dtS,
    expectedSumKS: state.expectedSumKS + expectedRiseK(baseline, exhaust, seaC) * dtS,
    twinGasSumKS: state.twinGasSumKS + (exhaust.a - (twin?.exhaustC ?? exhaust.a)) * dtS,
    sinceMinuteS: state.sinceMinuteS + dtS,
  };
  return next.minuteS < 60 ? next : endMinute(next, twin);
}

function endMinute(state: TrendState, twin: Twin | undefined): TrendState {
  const effectiveness = state.expectedSumKS / Math.max(1, state.riseSumKS);
  const comparable = twin?.lastMinute !== undefined && twin.sinceMinuteS < 90;
  const add = (list: readonly number[], value: number) => [...list.slice(-(mostMinutes - 1)), value];
  return {
    ...state,
    minuteS: 0,
    riseSumKS: 0,
    expectedSumKS: 0,
    twinGasSumKS: 0,
    minutes: add(state.minutes, effectiveness),
    againstTwin: comparable
      ? add(state.againstTwin, effectiveness / (twin.lastMinute ?? 1))
      : state.againstTwin,
    gasAgainstTwin: comparable
      ? add(state.gasAgainstTwin, state.twinGasSumKS / state.minuteS)
      : state.gasAgainstTwin,
    lastMinute: effectiveness,
    sinceMinuteS: 0,
  };
}

function endTrip(state: TrendState, baseline: ElbowBaseline): TrendState {
  const { minutes, againstTwin, gasAgainstTwin, trips } = state;
  const rest = { ...trendAtRest, trips, waterCusum: state.waterCusum, gasCusum: state.gasCusum };
  if (minutes.length < leastMinutes) return rest;
  const water = againstTwin.length >= leastMinutes ? (1 - median(againstTwin)) / twinSd : undefined;
  const { twinExhaust } = baseline;
  const gas =
    twinExhaust && gasAgainstTwin.length >= leastMinutes
      ? (median(gasAgainstTwin) - twinExhaust.middleK) / twinExhaust.spreadK
      : undefined;
  const sum = (before: number, z: number | undefined) =>
    z === undefined ? before : Math.min(3 * limit, Math.max(0, before + z - allowance));
  return {
    ...rest,
    trips: [...trips.slice(-(mostTrips - 1)), median(minutes)],
    waterCusum: sum(state.waterCusum, water),
    gasCusum: sum(state.gasCusum, gas),
  };
}

/** The active trends of this elbow's engine. */
export function trendConditions(
  probe: ProbeSettings,
  state: TrendState,
  engineName: string,
): readonly Condition[] {
  if (probe.engine === allEngines) return [];
  const { engine } = probe;
  const about = { subject: engine, engine, probe: probe.id, priority: 'caution' } as const;
  const effectiveness = state.trips[state.trips.length - 1] ?? 1;
  const conditions: Condition[] = [];
  if (state.waterCusum > limit)
    conditions.push({
      ...about,
      situation: 'trend',
      rule: 'less-water-than-twin',
      message: `For some trips ${engineName} has been cooled less than its twin; its cooling is at ${(100 * effectiveness).toFixed(0)} % of what was learned.`,
      evidence: { values: { sum: state.waterCusum, effectiveness }, thresholds: { sum: limit } },
    });
  const fall = theilSenSlope(state.trips) * (state.trips.length - 1);
  if (state.trips.length >= 8 && fall < -leastFall && falls(state.trips))
    conditions.push({
      ...about,
      situation: 'trend',
      rule: 'cooling-fades',
      message: `Over ${state.trips.length} trips the cooling of ${engineName} has faded by ${(-100 * fall).toFixed(0)} %.`,
      evidence: {
        values: { fall, trips: state.trips.length, effectiveness },
        thresholds: { fall: -leastFall },
      },
    });
  if (state.gasCusum > limit)
    conditions.push({
      ...about,
      situation: 'load',
      rule: 'hotter-than-twin',
      message: `For some trips the exhaust gas of ${engineName} has been hotter than its twin's by more than was learned.`,
      evidence: { values: { sum: state.gasCusum }, thresholds: { sum: limit } },
    });
  return conditions;
}
