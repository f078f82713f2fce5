import type { LinearFit } from './linear-fit.js';

/** A fit as people and scripts read it: parameters by name. `null` marks what the points cannot determine. */
export type NamedFit = {
  readonly model: string;
  readonly points: number;
  readonly degreesOfFreedom: number;
  readonly parameters: Readonly<Record<string, number>>;
  readonly standardUncertainties: Readonly<Record<string, number | null>>;
  /** Between the two parameters, when there are two. */
  readonly correlation?: number | null;
  /** Between all parameters, in their order, when there are more. */
  readonly correlations?: readonly (readonly number[])[] | null;
  readonly residuals: readonly number[];
  readonly residualStandardDeviation: number | null;
  /** Near 1 when the stated uncertainties explain the scatter; far above 1 they were too small. */
  readonly birgeRatio?: number;
};

/** Names the parameters of a fit. `residuals` may be given in a unit people read. */
export function named(
  model: string,
  names: readonly string[],
  fit: Pick<LinearFit, 'parameters' | 'covariance' | 'degreesOfFreedom' | 'birgeRatio'>,
  residuals: readonly number[],
): NamedFit {
  const { covariance } = fit;
  const uncertainties = names.map((_, i) => (covariance ? Math.sqrt(covariance[i]?.[i] as number) : null));
  const correlations = covariance?.map((row, i) =>
    row.map((value, j) => value / ((uncertainties[i] as number) * (uncertainties[j] as number))),
  );
  const sum = residuals.reduce((s, r) => s + r * r, 0);
  return {
    model,
    points: residuals.length,
    degreesOfFreedom: fit.degreesOfFreedom,
    parameters: Object.fromEntries(names.map((name, i) => [name, fit.parameters[i] as number])),
    standardUncertainties: Object.fromEntries(
      names.map((name, i) => [name, uncertainties[i] as number | null]),
    ),
    ...(names.length === 2 ? { correlation: correlations?.[0]?.[1] ?? null } : {}),
    ...(names.length > 2 ? { correlations: correlations ?? null } : {}),
    residuals,
    residualStandardDeviation: fit.degreesOfFreedom > 0 ? Math.sqrt(sum / fit.degreesOfFreedom) : null,
    ...(fit.birgeRatio === undefined ? {} : { birgeRatio: fit.birgeRatio }),
  };
}
