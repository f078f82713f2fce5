import type { EngineHealth, Health } from './health.js';

/** What weeks say of one engine, in one word, with the numbers behind it. */
export type Verdict = {
  readonly kind: 'unknown' | 'as-learned' | 'probe' | 'less-cooling' | 'more-cooling';
  /** Of the last trip: 1 is as when learned. Absent while it cannot be judged. */
  readonly effectiveness?: number;
  readonly twoSigma?: number;
  /** By how much the elbow probe has moved against the others after a night, since the baseline, in kelvin. */
  readonly driftK?: number;
  /** What the effectiveness would be without that drift. */
  readonly withoutDrift?: number;
};

const fewestTrips = 3;
/** Less than this is not worth a look; our choice, twice what one trip scatters. */
const worthALook = 0.05;
/** Half of what a warning should never miss by; our choice. */
const driftWorthALookK = 1;

/**
 * Joins effectiveness and cold soak. Effectiveness is expected over measured rise, so a probe that reads too warm looks
 * like lost cooling; where subtracting its drift brings the engine back to what was learned, it is probably the probe.
 */
export const verdictOf = (
  { elbow, effectiveness, baselineFrom = 0, lastTrip }: EngineHealth,
  coldSoaks: Health['coldSoaks'],
): Verdict => {
  const since = effectiveness.filter(({ at }) => at >= baselineFrom);
  const last = since.at(-1);
  if (!last || since.length < fewestTrips) return { kind: 'unknown' };
  const twoSigma = 2 * last.uncertainty;
  const tolerance = Math.max(worthALook, twoSigma);
  const offsets = coldSoaks
    .filter(({ at }) => at >= baselineFrom)
    .flatMap(({ offsets: of }) => (elbow !== undefined && of[elbow] !== undefined ? [of[elbow]] : []));
  const driftK = offsets.length > 1 ? (offsets.at(-1) ?? 0) - (offsets[0] ?? 0) : undefined;
  const riseK = lastTrip.reduce((sum, { riseC }) => sum + riseC, 0) / Math.max(1, lastTrip.length);
  const corrected =
    driftK !== undefined && riseK - driftK > 1 ? (last.value * riseK) / (riseK - driftK) : undefined;
  const numbers = {
    effectiveness: last.value,
    twoSigma,
    ...(driftK !== undefined && { driftK }),
    ...(corrected !== undefined && { withoutDrift: corrected }),
  };
  if (Math.abs(last.value - 1) <= tolerance) {
    const drifted = driftK !== undefined && Math.abs(driftK) > driftWorthALookK;
    return { kind: drifted ? 'probe' : 'as-learned', ...numbers };
  }
  const probe =
    driftK !== undefined &&
    Math.abs(driftK) > driftWorthALookK / 2 &&
    corrected !== undefined &&
    Math.abs(corrected - 1) <= tolerance;
  if (probe) return { kind: 'probe', ...numbers };
  return { kind: last.value < 1 ? 'less-cooling' : 'more-cooling', ...numbers };
};
