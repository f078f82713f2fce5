import { type ElbowView, inThrottleBackSurge, secondsTo } from './elbow-view.js';
import { isFiring, isThrottledBack } from './exhaust-memory.js';
import type { Finding, Judged } from './finding.js';
import { boundedRiseK, type NormalBounds } from './normal-bounds.js';
import { isSlug, primesWithinS, standardWarningC } from './soak-allowance.js';

/** How long each rule's condition has held, s. */
export type PlainState = {
  readonly rateS: number;
  readonly riseS: number;
  readonly highRiseS: number;
  readonly soonS: number;
};
export const plainAtRest: PlainState = { rateS: 0, riseS: 0, highRiseS: 0, soonS: 0 };

/** As the thermostat of a small engine opens, a healthy well warms by up to 1.2 K/s and more; without water by several, K/s. */
const rateCPerS = { 'strap-on': 0.8, well: 1.2, free: 0.8 } as const;
/** A gulp of air in a rough sea lasts up to three seconds, and a well feels it as it comes. */
const rateHoldS = { 'strap-on': 3, well: 4, free: 3 } as const;
const riseHoldS = 8;
const soonCPerS = 0.45;
/** A healthy well warms for a quarter of a minute at most when a thermostat opens or the load comes: it is foreseen no further. */
const soonWithinS = { 'strap-on': 40, well: 25, free: 40 } as const;
/**
 * Where commissioning knows how far it warms normally, only what is beyond that is foreseen at all; but until the pump has drawn its
 * water a healthy elbow warms as a dry one does.
 */
const soonWithinLearnedS = 40;
const soonRiseK = 16;
const soonHoldS = 2;
/** A healthy well was no faster than this for so long, K/s, simulated; and what is slower has to lead beyond the limit of the rise within this, s. */
const thermostatCPerS = 1.8;
const thermostatEndsS = 5;
/** After a start a high rise counts only while it grows, and later while it does not fall. */
const soakedS = 45;
const soakedCPerS = 0.1;
const coolingCPerS = -0.1;
/** How far above the rise limit the warning becomes an alarm, K. */
const highRiseMoreK = 12;

/** Room above the highest rise that six trips met, K: a season has colder seas and harder starts. The learned detector is sooner. */
const aboveNormalK = 8;

/** And while a surge of warm water after a closed throttle may last, K. */
const surgeMoreK = 4;

/**
 * What an elbow that could not be armed is allowed by its own normal running, K: never beyond the standard warning limit, whatever
 * was met on trips that may have been none too healthy.
 */
const boundK = ({ exhaust, seaC }: ElbowView, bounds: NormalBounds | undefined): number =>
  bounds && exhaust && seaC !== undefined
    ? Math.min(boundedRiseK(bounds, exhaust) + aboveNormalK, standardWarningC - seaC)
    : 0;

/** Rise over the sea that hardly any healthy elbow shows (39 K at 400 C in a cold sea, simulated); more is allowed at high load, K. */
export const riseLimitK = (gasC: number | undefined): number => 20 + 0.065 * Math.max(0, (gasC ?? 300) - 100);

/** Whether a well rises as beside a thermostat that opens: not very fast, and to where healthy elbows are. */
const mayBeThermostat = ({ mounting, slopeCPerS, elbowC, seaC }: ElbowView, limitK: number): boolean =>
  mounting === 'well' &&
  slopeCPerS < thermostatCPerS &&
  seaC !== undefined &&
  elbowC - seaC + thermostatEndsS * slopeCPerS < limitK;

/** What commissioning knows, as far as it counts now. */
type PlainNormal = {
  /** The highest rise over the sea that it met, K. */
  readonly highestRiseK?: number | undefined;
  /** Whether it expects the elbow to rise as it does now. */
  readonly explained?: boolean;
  /** Of an elbow that it refused to arm, the bounds of its normal running. */
  readonly bounds?: NormalBounds | undefined;
  /** In the first seconds of a cold start, how far such starts took it before the water came, K: below that it proves nothing. */
  readonly coldStartRiseK?: number | undefined;
};

/**
 * Works from the first minute, with nothing learned: rise over the sea, rate, and predicted time to the limit. The
 * limit itself is the kit's and is judged apart, on the readings as they come. Without a sea probe only the rate is
 * left. While unsure whether the engine runs, the rise counts only when the exhaust gas proves that it does: after a
 * stop the elbow soaks up heat from the manifold and nothing is wrong.
 */
export function stepPlain(
  state: PlainState,
  view: ElbowView,
  limitC: number,
  normal: PlainNormal = {},
): Judged<PlainState> {
  if (view.phase === 'stopped') return { state: plainAtRest, finding: undefined };
  const { slopeCPerS: slope, dtS } = view;
  const held = (before: number, now: boolean) => (now ? before + dtS : 0);
  const weighed = weigh(view, limitC, normal);
  const { limitK, risenK, excused, toLimitS, withinS, riseK = soonRiseK + 1 } = weighed;
  const next: PlainState = {
    rateS: held(state.rateS, !excused && slope > rateCPerS[view.mounting] && !mayBeThermostat(view, limitK)),
    riseS: held(state.riseS, risenK > 0),
    highRiseS: held(state.highRiseS, risenK > highRiseMoreK),
    soonS: held(state.soonS, !excused && slope > soonCPerS && toLimitS < withinS && riseK > soonRiseK),
  };
  return { state: next, finding: findingOf(next, view, limitC, weighed) };
}

type Weighed = {
  /** Rise over the sea, and what it may be, K. */
  readonly riseK: number | undefined;
  readonly limitK: number;
  /** How far it is above that; 0 or less also where it proves nothing. */
  readonly risenK: number;
  /** Neither rate nor forecast proves anything now. */
  readonly excused: boolean;
  readonly toLimitS: number;
  readonly withinS: number;
};

/** What this moment is held against. */
function weigh(view: ElbowView, limitC: number, normal: PlainNormal): Weighed {
  const { slopeCPerS: slope, exhaust, seaC, elbowC } = view;
  const riseK = seaC === undefined ? undefined : elbowC - seaC;
  const startK =
    normal.coldStartRiseK === undefined || seaC === undefined
      ? 0
      : Math.min(normal.coldStartRiseK, standardWarningC - seaC - 2 * aboveNormalK) + aboveNormalK;
  // Coolant and metal remember for some minutes what the gas was.
  const limitK = Math.max(
    riseLimitK(exhaust && Math.max(exhaust.a, exhaust.c)) + (inThrottleBackSurge(view) ? surgeMoreK : 0),
    (normal.highestRiseK ?? 0) + aboveNormalK,
    boundK(view, normal.bounds),
    startK,
  );
  const sure = view.phase === 'running' || (exhaust !== undefined && isFiring(exhaust));
  // A hot restart begins with an elbow full of soaked-up heat, which the water then carries off.
  const soaked = slope < (view.sinceStartS < soakedS ? soakedCPerS : coolingCPerS);
  const allowed = view.allowedC !== undefined && elbowC <= view.allowedC;
  const warmedWater =
    isSlug({ runningForS: view.sinceStartS, warmS: view.warmS }) ||
    (exhaust !== undefined && isThrottledBack(exhaust));
  const proves = sure && !soaked && !allowed && !warmedWater;
  return {
    riseK,
    limitK,
    risenK: proves && riseK !== undefined ? riseK - limitK : 0,
    excused: warmedWater || normal.explained === true || (riseK !== undefined && riseK < startK),
    toLimitS: secondsTo(view, limitC),
    withinS:
      normal.highestRiseK === undefined || view.sinceStartS < primesWithinS
        ? soonWithinS[view.mounting]
        : soonWithinLearnedS,
  };
}

/** The most severe finding that has lasted. */
function findingOf(
  held: PlainState,
  { elbowC, slopeCPerS, mounting }: ElbowView,
  limitC: number,
  { riseK, limitK, toLimitS, withinS }: Weighed,
): Finding | undefined {
  const values = {
    temperatureC: elbowC,
    riseCPerS: slopeCPerS,
    ...(riseK !== undefined && { riseOverSeaK: riseK }),
    ...(Number.isFinite(toLimitS) && { secondsToLimit: toLimitS }),
  };
  const found = (
    rule: Finding['rule'],
    priority: Finding['priority'],
    thresholds: Finding['thresholds'],
  ): Finding => ({ rule, priority, values, thresholds });
  if (held.soonS >= soonHoldS)
    return found('limit-soon', 'alarm', { riseCPerS: soonCPerS, secondsToLimit: withinS, limitC });
  if (held.highRiseS >= riseHoldS)
    return found('rise-over-sea', 'alarm', { riseOverSeaK: limitK + highRiseMoreK });
  const rateHeldS = rateHoldS[mounting];
  if (held.rateS >= rateHeldS)
    return found('fast-rise', 'warning', { riseCPerS: rateCPerS[mounting], holdS: rateHeldS });
  if (held.riseS >= riseHoldS)
    return found('rise-over-sea', 'warning', { riseOverSeaK: limitK, holdS: riseHoldS });
  return undefined;
}
