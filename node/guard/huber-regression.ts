import { Matrix, solve } from 'ml-matrix';

/** Huber's tuning constant in units of the robust spread; 95 % efficient for normal errors (Huber 1981). */
const huber = 1.345;

/**
 * Damping of the two sea coefficients for each second, K2 and K2 a 100 C: trips in one week share one sea, and their
 * differences are chance. With a spread of 1 K a tenth of what they say is believed, with 4 K six tenths. From a
 * prior of 0.08 K of rise a K of sea and 0.6 K between trips.
 */
const seaDamping: Readonly<Record<number, number>> = { 6: 11, 7: 32 };

/** Iteratively reweighted least squares with Huber's weights, lightly damped so that thin data stays tame. */
export function huberRegression(rows: readonly (readonly number[])[], y: readonly number[]): number[] {
  const width = rows[0]?.length ?? 0;
  const weights = new Float64Array(rows.length).fill(1);
  let coefficients = new Array<number>(width).fill(0);
  for (let round = 0; round < 12; round++) {
    const normal = Matrix.zeros(width, width);
    const right = Matrix.zeros(width, 1);
    rows.forEach((row, i) => {
      const weight = weights[i] ?? 0;
      for (let j = 0; j < width; j++) {
        const scaled = weight * (row[j] ?? 0);
        right.set(j, 0, right.get(j, 0) + scaled * (y[i] ?? 0));
        for (let k = 0; k <= j; k++) normal.set(j, k, normal.get(j, k) + scaled * (row[k] ?? 0));
      }
    });
    for (let j = 0; j < width; j++) {
      for (let k = j + 1; k < width; k++) normal.set(j, k, normal.get(k, j));
      const damping = 1e-6 + (seaDamping[j] ?? 0) * rows.length;
      normal.set(j, j, normal.get(j, j) * (1 + 1e-6) + damping);
    }
    coefficients = solve(normal, right).to1DArray();
    const misses = rows.map(
      (row, i) => (y[i] ?? 0) - row.reduce((sum, x, j) => sum + x * (coefficients[j] ?? 0), 0),
    );
    const spread = Math.max(0.02, quantile(misses.map(Math.abs), 0.5) / 0.6745);
    misses.forEach((miss, i) => {
      weights[i] = Math.min(1, (huber * spread) / Math.max(1e-9, Math.abs(miss)));
    });
  }
  return coefficients;
}

/** The value below which this share of the values lies; 0 of none. */
export function quantile(values: readonly number[], share: number): number {
  if (values.length === 0) return 0;
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
}
