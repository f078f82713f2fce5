import { coldWithinS, type ElbowBaseline, openingMoreK } from './baseline.js';
import type { ElbowView } from './elbow-view.js';
import { type ExhaustMemory, isSteady } from './exhaust-memory.js';
import { isDrivenAlike, type OtherElbow } from './unsteady-threshold.js';

/** Two engines that were started further apart than this are not as warm, s. */
const startedTogetherS = 120;
/** One of two thermostats that have yet to open opens first: so much further apart may their elbows be then. */
const apartWhileColdTimes = 2;

type Beside = {
  readonly view: ElbowView;
  readonly exhaust: ExhaustMemory;
  readonly baseline: ElbowBaseline;
  readonly other: OtherElbow | undefined;
  readonly steady: boolean;
  /** Whether its thermostat has yet to open. */
  readonly cold: boolean;
  /** The threshold of this kind of moment without a twin, K. */
  readonly usualK: number;
};

/**
 * The highest residual that its twin explains, K; undefined where nothing was learned of that, or the engines are not driven alike or not
 * as warm. Until thermostats have surely opened one may do so minutes before the other, which six trips need not have shown.
 */
export function besideTwinK(
  { view: { sinceStartS }, exhaust, baseline: { twinApart }, other, steady, cold, usualK }: Beside,
  thresholdOf: (q998K: number) => number,
): number | undefined {
  if (!twinApart || !isDrivenAlike(exhaust, other) || !isAsWarm(sinceStartS, other)) return undefined;
  const settled = steady && isSteady(exhaust);
  const spreadK = settled ? twinApart.steadyK : twinApart.movingK * (cold ? apartWhileColdTimes : 1);
  const apartK = thresholdOf(spreadK);
  const allowedK = sinceStartS > coldWithinS ? apartK : Math.max(apartK + openingMoreK, settled ? 0 : usualK);
  return allowedK + Math.max(0, other.residualK);
}

/** Whether the other engine has been warming for as long, so that the thermostats of both do likewise. */
const isAsWarm = (sinceStartS: number, other: OtherElbow): boolean =>
  other.sinceStartS !== undefined &&
  (Math.abs(sinceStartS - other.sinceStartS) < startedTogetherS ||
    Math.min(sinceStartS, other.sinceStartS) > coldWithinS);
