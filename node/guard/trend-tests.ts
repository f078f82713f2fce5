/** One-sided 1 % point of the standard normal distribution. */
const z99 = 2.326;

/**
 * Mann-Kendall test for a fall, one-sided at 1 % (Mann 1945, Kendall 1975; no correction for ties, which medians of
 * many windows do not have). Needs eight values; fewer never fall.
 */
export function falls(values: readonly number[]): boolean {
  const n = values.length;
  if (n < 8) return false;
  let s = 0;
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) s += Math.sign((values[j] as number) - (values[i] as number));
  const sd = Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18);
  return (s + 1) / sd < -z99;
}

/** Median of all pairwise slopes, a step (Theil 1950, Sen 1968); 0 of fewer than two values. */
export function theilSenSlope(values: readonly number[]): number {
  const slopes: number[] = [];
  for (let i = 0; i < values.length; i++)
    for (let j = i + 1; j < values.length; j++)
      slopes.push(((values[j] as number) - (values[i] as number)) / (j - i));
  return slopes.length === 0 ? 0 : median(slopes);
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const high = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? high : ((sorted[middle - 1] ?? 0) + high) / 2;
}
