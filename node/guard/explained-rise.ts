import { type ElbowBaseline, expectedRiseK } from './baseline.js';
import type { ElbowView } from './elbow-view.js';
import type { LearnedTuning } from './learned-detector.js';

/** Gas ahead of its 22 s memory by this much rises, K. */
const gasRisesK = 5;

/** No thermostat warmed an elbow faster than 1.1 K/s on the simulated boats, and an elbow without water soon is faster, K/s. */
const thermostatCPerS = 1.5;
/** Above the highest rise that commissioning met, K. */
const aboveHighestK = 4;

/** Whether a thermostat that opens may be how the elbow rises; `coldS` as the learned detector counts it. */
export const isThermostat = (
  { elbowC, seaC, slopeCPerS }: ElbowView,
  { highestRiseK }: ElbowBaseline,
  coldS: number,
): boolean =>
  coldS > 0 &&
  seaC !== undefined &&
  slopeCPerS < thermostatCPerS &&
  elbowC - seaC < highestRiseK + aboveHighestK;

/**
 * Whether gas that rises explains how the elbow rises: after an opened throttle heat comes before the water does, and the elbow is
 * where it was learnt to be, or below.
 */
export function isExplained(view: ElbowView, baseline: ElbowBaseline, tuning: LearnedTuning): boolean {
  const { exhaust, seaC, phase, elbowC } = view;
  if (phase !== 'running' || !exhaust || seaC === undefined || exhaust.a - exhaust.b < gasRisesK)
    return false;
  return elbowC - seaC - expectedRiseK(baseline, exhaust, seaC) < tuning.leastK / 2;
}
