import { ThermometryError } from '../errors.js';
import type { CalibrationPoint } from './point.js';

/** Points closer than this count as one temperature: they average, but tell no slope. */
const apartC = 8;

/** How many different temperatures the points hold. Throws when there are no points. */
export function distinctTemperatures(points: readonly CalibrationPoint[]): number {
  if (points.length === 0)
    throw new ThermometryError('too-few-points', 'No settled point. A calibration needs at least one.');
  const sorted = points.map((p) => p.temperatureC).sort((a, b) => a - b);
  let count = 0;
  let last = Number.NEGATIVE_INFINITY;
  for (const t of sorted)
    if (t - last >= apartC) {
      count++;
      last = t;
    }
  return count;
}
