import { type ElbowView, inThrottleBackSurge } from './elbow-view.js';

/** After the gas has stopped falling a surge begins within this, if at all, s. */
const beginsWithinS = 10;
/** An elbow this near to the learned rise is no longer held up by a surge, K. */
const passedK = 3;

/**
 * A throttle-back surge: after the throttle is closed the pump moves less water past a coolant that is still warm, so that a healthy
 * elbow warms and then cools again (see `isThrottledBack`). This says whether it ended before the longest time it may last: the gas no
 * longer falls, and the elbow is near its learned rise and does not warm. A later rise has another cause. `overBefore` is the result of
 * the pass before.
 */
export const isSurgeOver = (
  overBefore: boolean,
  { sinceThrottledBackS, slopeCPerS }: Pick<ElbowView, 'sinceThrottledBackS' | 'slopeCPerS'>,
  residualK: number,
): boolean =>
  sinceThrottledBackS > 0 &&
  (overBefore || (sinceThrottledBackS > beginsWithinS && slopeCPerS <= 0 && residualK < passedK));

/** Whether a surge may hold the elbow up now. */
export const mayBeSurging = (view: Pick<ElbowView, 'sinceThrottledBackS'>, over: boolean): boolean =>
  !over && inThrottleBackSurge(view);
