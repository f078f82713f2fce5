/** A converter's own noise stays within a few counts; further from the middle than this a count is not noise. */
const strayCounts = 10;

export type SteadyMean = {
  readonly mean: number;
  /** Standard deviation of the single counts that were kept. */
  readonly noise: number;
  readonly kept: number;
  /** Counts left out: too far from the median to be noise. A byte damaged on the way is one such. */
  readonly strays: number;
};

/** Mean of a handful of counts (at least one) without those that lie far from their median. */
export const steadyMean = (counts: readonly number[]): SteadyMean => {
  const ordered = counts.toSorted((a, b) => a - b);
  const median = ordered[(ordered.length - 1) >> 1] ?? 0;
  const kept = counts.filter((count) => Math.abs(count - median) <= strayCounts);
  const mean = kept.reduce((sum, count) => sum + count, 0) / kept.length;
  const squares = kept.reduce((sum, count) => sum + (count - mean) ** 2, 0);
  return {
    mean,
    noise: kept.length > 1 ? Math.sqrt(squares / (kept.length - 1)) : 0,
    kept: kept.length,
    strays: counts.length - kept.length,
  };
};
