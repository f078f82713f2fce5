import type { BathError, CalibrationPoint } from '../bath/point.js';
import { type Effect, eachPoint, oneError, sharedError } from './effect.js';

/**
 * Heat along stem and cable draws a probe towards the air: its share of the difference, one standard deviation, for a
 * probe ten diameters deep or more (common practice, no source), in air of about 20 C.
 */
const stemShare = 0.001;
const airC = 20;

/** What the baths, the wait in them and the way the probe hangs in them leave unknown. */
export function bathEffects(points: readonly CalibrationPoint[]): readonly Effect[] {
  const at = (i: number): CalibrationPoint => points[i] as CalibrationPoint;
  const byKey = new Map<string, string>();
  for (const point of points) for (const { key, source } of point.errors) byKey.set(key, source);
  return [
    ...[...byKey].map(([key, source]) =>
      sharedError(source, ({ point }) =>
        point === undefined ? 0 : sumOf(at(point).errors.filter((e) => e.key === key)),
      ),
    ),
    eachPoint('settling lag', (i) => lagOf(at(i)).standardUncertaintyC),
    oneError('heat along the stem', ({ point, temperatureC }) =>
      point === undefined ? 0 : stemShare * (airC - temperatureC),
    ),
  ];
}

const sumOf = (errors: readonly BathError[]): number =>
  errors.reduce((sum, e) => sum + e.standardUncertaintyC, 0);

/** Best estimate of the temperature of the probe at a point: the bath, its one-sided errors, and what the probe lags. */
export const probeAtPointC = (point: CalibrationPoint): number =>
  point.temperatureC + point.errors.reduce((sum, { biasC = 0 }) => sum + biasC, 0) + lagOf(point).remainingC;

/**
 * Probe minus bath at a point, from its approach. A point without one (from an older file) has only its trend: a time
 * constant of 20 s, give or take 40 s, covers every probe of ours (common practice, no source).
 */
export const lagOf = ({ lag, trendCPerMin }: CalibrationPoint): NonNullable<CalibrationPoint['lag']> =>
  lag ?? { remainingC: -trendCPerMin / 3, standardUncertaintyC: (Math.abs(trendCPerMin) * 2) / 3 };
