/**
 * Nearest-rank quantile: the smallest value with at least `share` of the values at or below it; NaN of nothing. Not
 * that of simple-statistics, which interpolates: a loss that was never seen counts as infinitely late.
 */
export function quantile(values: readonly number[], share: number): number {
  if (values.length === 0) return Number.NaN;
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

/** Exact 95 % interval (Garwood 1936) of the mean behind a Poisson count, by bisection on the distribution function. */
export function poissonInterval(count: number): [number, number] {
  const solve = (holds: (mean: number) => boolean) => {
    let low = 0;
    let high = 20 + 3 * count;
    for (let i = 0; i < 100; i++) {
      const middle = (low + high) / 2;
      if (holds(middle)) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
  const lower = count === 0 ? 0 : solve((mean) => 1 - atMost(count - 1, mean) < 0.025);
  return [lower, solve((mean) => atMost(count, mean) > 0.025)];
}

/** Probability of at most `count` events where `mean` are expected. */
function atMost(count: number, mean: number): number {
  let term = Math.exp(-mean);
  let sum = term;
  for (let k = 1; k <= count; k++) {
    term *= mean / k;
    sum += term;
  }
  return sum;
}
