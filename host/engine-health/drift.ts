import type { ColdSoak } from './cold-soak.js';

/** How one probe leaves the others, from cold soak to cold soak. */
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

/** Whether a drift could be found at all: enough cold soaks, over days enough. */
export const tellsOfDrift = (probe: string, soaks: readonly ColdSoak[]): boolean => {
  const points = pointsOf(probe, soaks);
  return points.length >= fewestSoaks && (points.at(-1)?.x ?? 0) - (points[0]?.x ?? 0) >= shortestDays;
};

/**
 * A straight line by least squares through what a probe read above the middle of all; absent where the slope lies within
 * twice its standard error, or too little was seen. The middle is a median: one drifting probe does not move it.
 */
export const driftOf = (probe: string, soaks: readonly ColdSoak[]): Drift | undefined => {
  if (!tellsOfDrift(probe, soaks)) return undefined;
  const points = pointsOf(probe, soaks);
  const mean = (of: (point: (typeof points)[number]) => number) =>
    points.reduce((sum, point) => sum + of(point), 0) / points.length;
  const [middleX, middleY] = [mean((p) => p.x), mean((p) => p.y)];
  const sumXx = points.reduce((sum, { x }) => sum + (x - middleX) ** 2, 0);
  const kPerDay = points.reduce((sum, { x, y }) => sum + (x - middleX) * (y - middleY), 0) / sumXx;
  const squares = points.reduce((sum, { x, y }) => sum + (y - middleY - kPerDay * (x - middleX)) ** 2, 0);
  const error = Math.sqrt(squares / (points.length - 2) / sumXx);
  return Math.abs(kPerDay) > 2 * error ? { kPerDay } : undefined;
};
