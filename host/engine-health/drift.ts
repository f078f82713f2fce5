import { linearRegression, mean, sum, sumNthPowerDeviations } from 'simple-statistics';
import type { ColdSoak } from './cold-soak.js';

/** How one probe drifts from the others, from cold soak to cold soak. */
export type Drift = { readonly kPerDay: number };

const dayMs = 86_400_000;
/** Fewer, or closer together, say nothing about a year. Our choice. */
const fewestSoaks = 5;
const shortestDays = 14;

const pointsOf = (probe: string, soaks: readonly ColdSoak[]) =>
  soaks.flatMap(({ at, offsets }) => {
    const y = offsets[probe];
    return y === undefined ? [] : [{ x: at / dayMs, y }];
  });

/** Whether a drift could be found at all: enough cold soaks, over enough days. */
export const canShowDrift = (probe: string, soaks: readonly ColdSoak[]): boolean => {
  const points = pointsOf(probe, soaks);
  return points.length >= fewestSoaks && (points.at(-1)?.x ?? 0) - (points[0]?.x ?? 0) >= shortestDays;
};

/**
 * A straight line by least squares through what a probe read above the middle of all; absent where the slope lies within
 * twice its standard error, or too little was seen. The middle is a median: one drifting probe does not move it.
 */
export const driftOf = (probe: string, soaks: readonly ColdSoak[]): Drift | undefined => {
  if (!canShowDrift(probe, soaks)) return undefined;
  const points = pointsOf(probe, soaks);
  const xs = points.map(({ x }) => x);
  // Days are counted from their middle: slope and errors of numbers near 20,000 would lose digits.
  const middle = mean(xs);
  const { m: kPerDay, b } = linearRegression(points.map(({ x, y }) => [x - middle, y]));
  const squares = sum(points.map(({ x, y }) => (y - b - kPerDay * (x - middle)) ** 2));
  const error = Math.sqrt(squares / (points.length - 2) / sumNthPowerDeviations(xs, 2));
  return Math.abs(kPerDay) > 2 * error ? { kPerDay } : undefined;
};
