import type { Sample, SettlingRules, Stretch } from './settling.js';

/** Slopes below this are noise, C per minute. */
const leastSlopeCPerMin = 0.1;
/** No one waits longer, and an estimate beyond it is a guess, s. */
const longestS = 1800;

/**
 * Seconds until a probe that is not settled should be, at least the rest of the hold. The approach to a bath decays
 * exponentially: two slopes say how fast, and so when the line through a whole hold will be flat enough. Absent while
 * it cannot be estimated: too few readings, or a trend that does not shrink.
 */
export function remainingS(
  samples: readonly Sample[],
  { settled }: Pick<Stretch, 'settled'>,
  { holdS, trendCPerMin }: SettlingRules,
): number | undefined {
  if (settled) return 0;
  const [first, last] = [samples[0], samples.at(-1)];
  if (!first || !last || samples.length < 6) return undefined;
  const holdLeftS = Math.max(0, holdS - (last.atS - first.atS));
  const fromS = Math.max(first.atS, last.atS - holdS);
  const inside = samples.filter(({ atS }) => atS >= fromS);
  const halfS = (last.atS - fromS) / 2;
  const before = slopeCPerMin(inside.filter(({ atS }) => atS < fromS + halfS));
  const after = slopeCPerMin(inside.filter(({ atS }) => atS >= fromS + halfS));
  if (Math.abs(before) < leastSlopeCPerMin) return Math.max(1, Math.ceil(holdLeftS));
  // Below the noise the newer slope is only known to be small.
  const newer = before * after > 0 ? Math.max(leastSlopeCPerMin, Math.abs(after)) : leastSlopeCPerMin;
  const shrunk = Math.abs(before) / newer;
  if (shrunk <= 1.05) return undefined;
  const tauS = halfS / Math.log(shrunk);
  const leftC = (newer / 60) * tauS * Math.exp(-halfS / 2 / tauS);
  // What may be left where a hold begins, so that the line through it is flat enough.
  const allowedC = trendCPerMin / 60 / slopeOfApproach(holdS, tauS);
  const seconds = Math.ceil(Math.max(1, holdLeftS, holdS + tauS * Math.log(leftC / allowedC)));
  return seconds <= longestS ? seconds : undefined;
}

/** Slope of the line through exp(-t/tau) from 0 to `holdS`, per second, without its sign: least squares, integrated. */
function slopeOfApproach(holdS: number, tauS: number): number {
  const x = holdS / tauS;
  const rest = Math.exp(-x);
  return Math.abs((12 / (x * x * holdS)) * (1 - rest * (1 + x) - (x / 2) * (1 - rest)));
}

/** Of the straight line through them, by least squares. */
function slopeCPerMin(samples: readonly Sample[]): number {
  const n = samples.length;
  const meanS = samples.reduce((sum, { atS }) => sum + atS, 0) / n;
  const meanC = samples.reduce((sum, { temperatureC }) => sum + temperatureC, 0) / n;
  const spread = samples.reduce((sum, { atS }) => sum + (atS - meanS) ** 2, 0);
  const along = samples.reduce(
    (sum, { atS, temperatureC }) => sum + (atS - meanS) * (temperatureC - meanC),
    0,
  );
  return spread > 0 ? (60 * along) / spread : 0;
}
