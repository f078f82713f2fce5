import { type ElbowBaseline, expectedRiseK } from './baseline.js';
import type { ElbowView } from './elbow-view.js';

/**
 * What a probe did since its engine was started. A boat that lies still and an engine that has just stopped leave the elbow at another
 * temperature than its raw water, and within a minute or two of a start that water takes it there, whatever the thermostat does. A probe
 * that hangs in the air stays where it was.
 */
export type StartResponse = {
  /** What it read when the engine was started, C. */
  readonly fromC: number;
  /** The furthest it has been from that since, K. */
  readonly movedK: number;
  /** How long it has moved by too little, s. */
  readonly stillS: number;
  /** By how much its water should have moved it at least, K; absent until that can be said. */
  readonly wantedK?: number;
};

/** A stop that was shorter leaves an elbow about where it was, s. */
const leastStopS = 30;
/** A guard that wakes beside an engine takes it for just started for so long, if its gas is colder than any running engine's was, s. */
const wokeWithinS = 5;
/**
 * A pump whose line has drained gives water after 30 s, and a ring follows in another minute: from then on, and for a minute, it is
 * judged, s.
 */
const judgedFromS = 120;
const judgedUntilS = 180;
const holdS = 5;
/**
 * It is judged where the water should move it by this much. An elbow above its learned rise falls to that, but for half of what was
 * learned to spread while it warms up; one below the sea warms to the sea, and a sea probe may read too high, K.
 */
const leastFallK = 3;
const leastWarmingK = 4;
const spreadShare = 0.5;
/**
 * Part of that. On simulated boats a healthy elbow moved by 0.38 of it at the least (a ring that leaks heat to its engine room; 0.7 the
 * lowest of the other boats), and a detached probe by 0 to 0.3, because the air warms.
 */
export const leastMove = 0.25;
const surelyMoved = 0.8;

/** Steps it at each pass; undefined while there is no start to judge. */
export function stepStartResponse(
  before: StartResponse | undefined,
  view: ElbowView,
  baseline: ElbowBaseline,
  seaGood: boolean,
): StartResponse | undefined {
  const { phase, sinceStartS, elbowC, exhaust, dtS } = view;
  if (phase === 'stopped') return sinceStartS < leastStopS ? undefined : atStart(elbowC);
  if (phase === 'unsure' || sinceStartS > judgedUntilS) return undefined;
  const woke = sinceStartS < wokeWithinS && exhaust !== undefined && exhaust.a < baseline.gasC.min;
  const start = before ?? (woke ? atStart(elbowC) : undefined);
  if (!start) return undefined;
  const movedK = Math.max(start.movedK, Math.abs(elbowC - start.fromC));
  const wantedK =
    sinceStartS >= judgedFromS && seaGood ? wantedMoveK(start.fromC, view, baseline) : undefined;
  const still = wantedK !== undefined && movedK < leastMove * wantedK;
  return {
    fromC: start.fromC,
    movedK,
    stillS: still ? start.stillS + dtS : 0,
    ...(wantedK !== undefined && { wantedK }),
  };
}

/** Whether it hardly moved although its water should have moved it. */
export const stayedStill = (start: StartResponse | undefined): start is Required<StartResponse> =>
  start?.wantedK !== undefined && start.stillS >= holdS;

/** Whether it went where its water takes it, which no probe in the air does. */
export const wasMovedByWater = (start: StartResponse | undefined): boolean =>
  start?.wantedK !== undefined && start.movedK > surelyMoved * start.wantedK;

const atStart = (fromC: number): StartResponse => ({ fromC, movedK: 0, stillS: 0 });

/** By how much the water should have moved it at least, K; undefined where that is too little to judge by. */
function wantedMoveK(
  fromC: number,
  { seaC, exhaust }: ElbowView,
  baseline: ElbowBaseline,
): number | undefined {
  if (seaC === undefined || !exhaust) return undefined;
  const warmestC =
    seaC +
    Math.max(0, expectedRiseK(baseline, exhaust, seaC)) +
    spreadShare * baseline.spread['warm-up'].q998K;
  const fallK = fromC - warmestC;
  if (fallK >= leastFallK) return fallK;
  const warmingK = seaC - fromC;
  return warmingK >= leastWarmingK ? warmingK : undefined;
}
