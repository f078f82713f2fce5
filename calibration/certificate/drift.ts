import type { CalibrationPoint } from '../bath/point.js';
import { lagOf, probeAtPointC } from '../model/bath-effects.js';
import { usualDriftCPerYear } from '../reading/sensor.js';
import type { Certificate } from './certificate.js';
import { certifiedTemperatureC } from './certified-reading.js';

/** Rate of drift in C per year with its 95 % interval, and what it rests on. */
export type Drift = {
  readonly cPerYear: number;
  readonly lowCPerYear: number;
  readonly highCPerYear: number;
  readonly sessions: number;
  readonly overDays: number;
};

/** Points this close to the new one are of the same place. */
const nearC = 15;
const msPerYear = 365.25 * 86_400_000;

/**
 * Drift of a probe near one temperature: the points of all its certificates and the fresh one, all read by the same
 * certificate, so that only the probe can have changed. Weighted least squares with what is usual for such probes as one
 * more observation of the rate; without it two readings a fortnight apart would make a rate of their noise.
 */
export function driftOf(
  certificate: Certificate,
  earlier: readonly Certificate[],
  fresh: CalibrationPoint,
): Drift {
  const points = [...new Map(earlier.map((c) => [c.issue, c])).values()]
    .filter((c) => c.probe.id === certificate.probe.id)
    .flatMap((c) => c.points)
    .filter((p) => Math.abs(p.temperatureC - fresh.temperatureC) <= nearC);
  const seen = [...points, fresh].map((p) => ({
    years: (Date.parse(p.takenAt) - Date.parse(fresh.takenAt)) / msPerYear,
    errorC: certifiedTemperatureC(certificate, p.signal) - probeAtPointC(p),
    weight: 1 / pointUncertaintyC(p) ** 2,
  }));
  const weight = seen.reduce((sum, s) => sum + s.weight, 0);
  const mean = (of: (s: (typeof seen)[number]) => number): number =>
    seen.reduce((sum, s) => sum + s.weight * of(s), 0) / weight;
  const middle = mean((s) => s.years);
  const middleC = mean((s) => s.errorC);
  const spread = weight * mean((s) => (s.years - middle) ** 2);
  const usual = 1 / usualDriftCPerYear(certificate.sensor) ** 2;
  const cPerYear = (weight * mean((s) => (s.years - middle) * (s.errorC - middleC))) / (spread + usual);
  const halfWidth = 1.96 / Math.sqrt(spread + usual);
  return {
    cPerYear,
    lowCPerYear: cPerYear - halfWidth,
    highCPerYear: cPerYear + halfWidth,
    sessions: seen.length,
    overDays: -Math.min(...seen.map((s) => s.years)) * 365.25,
  };
}

/** Standard uncertainty of the bath and the wait in it, as the temperature of the probe. */
export const pointUncertaintyC = (point: CalibrationPoint): number =>
  Math.max(
    0.005,
    Math.hypot(lagOf(point).standardUncertaintyC, ...point.errors.map((e) => e.standardUncertaintyC)),
  );
