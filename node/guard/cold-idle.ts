import type { ElbowView } from './elbow-view.js';
import { type ExhaustMemory, isIdlingLoad, type LearnedGas, risesNow } from './exhaust-memory.js';

/**
 * From a cold start until the throttle is first opened. Coolant and metal hold no heat then, so that nothing but the gas and a missing
 * stream of water can warm the elbow, and what was learned of all other moments (thermostats that open, hot restarts) excuses nothing.
 */
export type ColdIdle = {
  /** 99.8th percentile of the led residual, K. */
  readonly q998K: number;
  /** Highest rise over the sea, little more than what two starts reached, K. */
  readonly highestRiseK: number;
  /** How long after a start it was met; later nothing is known of it, s. */
  readonly untilS: number;
};

/** An engine that was this warm when it was started, s as in `warmS`, was not cold. */
const coldBelowS = 30;

/** Whether the engine was cold when it was started; `warmS` and `sinceStartS` in s. */
export const wasColdAtStart = ({ warmS, sinceStartS }: Pick<ElbowView, 'warmS' | 'sinceStartS'>): boolean =>
  warmS - sinceStartS <= coldBelowS;

/**
 * The gas of an engine that was started and idles is settled to its 22 s memory by then, s: gas that rises later is that of an opened
 * throttle, whose heat a well feels before its probe does.
 */
const gasSettlesS = 120;

/** Whether the gas rises as when the throttle has just been opened: what was learned of idling says nothing of such a moment. */
export const isOpening = (exhaust: ExhaustMemory, sinceStartS: number): boolean =>
  sinceStartS > gasSettlesS && risesNow(exhaust);

/**
 * Whether an engine has done anything since a cold start but idle, or was not cold. `leftBefore` is the result of the pass before. A guard
 * that wakes beside a running engine has seen no start: gas below any that commissioning met says that it was just now and cold.
 * Undefined until that can be said.
 */
export function hasLeftColdIdle(
  leftBefore: boolean | undefined,
  { phase, exhaust, warmS, sinceStartS }: Pick<ElbowView, 'phase' | 'exhaust' | 'warmS' | 'sinceStartS'>,
  learned: LearnedGas,
): boolean | undefined {
  if (phase === 'stopped') return false;
  if (phase === 'unsure' || !exhaust) return leftBefore;
  const left = leftBefore ?? exhaust.a >= learned.min;
  return left || !wasColdAtStart({ warmS, sinceStartS }) || !isIdlingLoad(exhaust, learned);
}
