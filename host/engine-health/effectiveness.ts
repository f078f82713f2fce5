import { median, medianAbsoluteDeviation } from 'simple-statistics';
import { type Baseline, riseAt, slopeAt } from './baseline.js';
import type { SteadyPoint } from './trips.js';

/** A median and its standard uncertainty. */
export type Estimate = { readonly value: number; readonly uncertainty: number; readonly points: number };

/** Of the trip that began at this moment. */
export type OfTrip = Estimate & { readonly at: number };

/** Neighbouring minutes are correlated: this many count as one. Our choice. */
const minutesPerIndependentPoint = 5;
const outsideRangeC = 15;
const fewestPoints = 5;

/** Median, and its uncertainty from the median absolute deviation (1.4826 to sigma, 1.2533 from mean to median). */
export const estimate = (values: readonly number[]): Estimate | undefined => {
  if (values.length < fewestPoints) return undefined;
  const value = median(values);
  const sigma = 1.4826 * medianAbsoluteDeviation([...values]);
  const independent = Math.max(1, values.length / minutesPerIndependentPoint);
  return { value, uncertainty: (1.2533 * sigma) / Math.sqrt(independent), points: values.length };
};

/**
 * How far the gas follows the sea when the sea alone is warmer than it was in the learning: between not at all and wholly,
 * as intake air and engine room have it, which is not known. So the middle is taken, and the half-width is an uncertainty
 * (rectangular: over the root of three).
 */
const followsSea = { middle: 0.5, halfWidth: 0.5 };

/**
 * Rise expected by the baseline over rise measured: 1 as when learned, less when the water removes less heat. The
 * uncertainty holds scatter within the trip, the baseline's own, what changed from trip to trip while it was learned, and
 * a sea that is not as warm as it was then.
 */
export const effectiveness = (points: readonly SteadyPoint[], baseline: Baseline): Estimate | undefined => {
  const inside = points.filter(
    (p) =>
      p.gasC > baseline.fromGasC - outsideRangeC && p.gasC < baseline.toGasC + outsideRangeC && p.riseC > 2,
  );
  const asLearned = (p: SteadyPoint) => p.gasC - followsSea.middle * (p.seaC - baseline.seaC);
  const found = estimate(inside.map((p) => riseAt(baseline, asLearned(p)) / p.riseC));
  if (!found) return undefined;
  const typicalRise = median(inside.map((p) => p.riseC));
  const slope = slopeAt(baseline, median(inside.map((p) => p.gasC)));
  const seaMovedK = Math.abs(median(inside.map((p) => p.seaC)) - baseline.seaC);
  const ofBaseline =
    baseline.residualK / Math.sqrt(baseline.points / minutesPerIndependentPoint) / typicalRise;
  const ofSea = (Math.abs(slope) * followsSea.halfWidth * seaMovedK) / Math.sqrt(3) / typicalRise;
  return { ...found, uncertainty: Math.hypot(found.uncertainty, ofBaseline, baseline.tripScatter, ofSea) };
};

const matchedWithinC = 20;

/** Rise of one engine over that of the other in minutes in which both carried the same load. */
export const twinRatio = (
  ones: readonly SteadyPoint[],
  others: readonly SteadyPoint[],
): Estimate | undefined => {
  const otherAt = new Map(others.map((p) => [p.at, p]));
  const ratios = ones.flatMap((p) => {
    const s = otherAt.get(p.at);
    return s && Math.abs(s.gasC - p.gasC) < matchedWithinC && s.riseC > 2 ? [p.riseC / s.riseC] : [];
  });
  return estimate(ratios);
};
