import type { BudgetLine } from './coverage-factor.js';
import type { CalibrationPoint } from './point.js';

/**
 * What an error of each point does to the answer, in degrees per degree: the answer's sensitivity to point i.
 * Errors of one cause reach all its points together, so their effects are added before they are squared.
 */
export function bathLines(
  points: readonly CalibrationPoint[],
  reach: readonly number[],
): readonly BudgetLine[] {
  const byKey = new Map<string, BudgetLine & { effectC: number }>();
  for (const [i, point] of points.entries())
    for (const { key, source, distribution, standardUncertaintyC } of point.errors) {
      const effectC = (byKey.get(key)?.effectC ?? 0) + (reach[i] as number) * standardUncertaintyC;
      byKey.set(key, { source, distribution, effectC, standardUncertaintyC: Math.abs(effectC) });
    }
  return [...byKey.values()].map(({ source, distribution, standardUncertaintyC }) => ({
    source,
    distribution,
    standardUncertaintyC,
  }));
}

/** Covariance of the temperatures of the points, C^2, from the errors of their baths and their own noise. */
export function pointCovariance(
  points: readonly CalibrationPoint[],
  noiseC: readonly number[],
): readonly (readonly number[])[] {
  return points.map((a, i) =>
    points.map((b, j) => {
      let sum = i === j ? (noiseC[i] as number) ** 2 : 0;
      for (const ea of a.errors)
        for (const eb of b.errors)
          if (ea.key === eb.key) sum += ea.standardUncertaintyC * eb.standardUncertaintyC;
      return sum;
    }),
  );
}

/** Pooled standard deviation of single readings, in the raw unit times `scale` of each point. */
export function pooledScatter(points: readonly CalibrationPoint[], scale: readonly number[]): number {
  let sum = 0;
  let freedom = 0;
  for (const [i, p] of points.entries()) {
    sum += (p.readings - 1) * (p.scatter * (scale[i] as number)) ** 2;
    freedom += p.readings - 1;
  }
  return freedom > 0 ? Math.sqrt(sum / freedom) : 0;
}
