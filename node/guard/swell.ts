import { type ElbowView, inSwell } from './elbow-view.js';

/** From the end of the fall of the gas the swell has come by then where it comes at all, s. */
const hasComeS = 10;
/** As near to what was learnt, K, as after a swell that has passed. */
const passedK = 3;

/**
 * Whether the swell after a closed throttle has passed sooner than it may last: the gas falls no more, and the elbow is about where
 * it was learnt to be and does not rise. What rises after that is something else. `overBefore` is the answer of the pass before.
 */
export const isSwellOver = (
  overBefore: boolean,
  { sinceThrottledBackS, slopeCPerS }: Pick<ElbowView, 'sinceThrottledBackS' | 'slopeCPerS'>,
  residualK: number,
): boolean =>
  sinceThrottledBackS > 0 &&
  (overBefore || (sinceThrottledBackS > hasComeS && slopeCPerS <= 0 && residualK < passedK));

/** Whether a swell may hold the elbow up now. */
export const mayBeSwell = (view: Pick<ElbowView, 'sinceThrottledBackS'>, over: boolean): boolean =>
  !over && inSwell(view);
