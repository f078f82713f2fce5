import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { BudgetLine } from '../budget/coverage-factor.js';
import { ThermometryError } from '../errors.js';
import type { Effect, Site } from './effect.js';

export type Observation = {
  readonly temperatureC: number;
  /** Indication by the maker's law minus the temperature of the bath, all known corrections made. */
  readonly deviationC: number;
};

export type Posterior = {
  /** Indication minus truth to be expected at a true temperature in use. */
  readonly meanC: (temperatureC: number) => number;
  /** What is left of each effect; the squares add up to the posterior variance. */
  readonly lines: (temperatureC: number) => readonly BudgetLine[];
  readonly covarianceC2: (aC: number, bC: number) => number;
  /** Squared distance of the observations from what the effects allow: chi-square with as many degrees of freedom. */
  readonly chiSquare: number;
  /** How far each observation is from what the effects and the others say, with the standard deviation of that, its own errors included. */
  readonly leftOut: readonly { readonly differenceC: number; readonly standardUncertaintyC: number }[];
};

/** Keeps the covariance of two equal points invertible; far below every real error. */
const floorC = 1e-4;

/**
 * Conditions the effects on the observations (Gaussian process regression; JCGM 101 and 102 call the result the state
 * of knowledge). The variance depends on where the observations lie and not on what they say, and one observation more
 * can only lower it. Throws when an uncertainty is not a number.
 */
export function posteriorOf(effects: readonly Effect[], observations: readonly Observation[]): Posterior {
  const sites: Site[] = observations.map(({ temperatureC }, point) => ({ temperatureC, point }));
  const among = effects.map(({ covarianceC2 }) => sites.map((a) => sites.map((b) => covarianceC2(a, b))));
  const n = sites.length;
  const total = Matrix.zeros(n, n);
  for (const matrix of among)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) total.set(i, j, total.get(i, j) + (matrix[i]?.[j] as number));
  for (let i = 0; i < n; i++) total.set(i, i, total.get(i, i) + floorC ** 2);
  const cholesky = new CholeskyDecomposition(total);
  if (!cholesky.isPositiveDefinite())
    throw new ThermometryError(
      'not-a-number',
      'An uncertainty or a temperature of the points is not a number.',
    );
  const solve = (values: readonly number[]): number[] =>
    cholesky.solve(Matrix.columnVector([...values])).getColumn(0);
  const observed = observations.map(({ deviationC }) => deviationC);
  const solved = solve(observed);
  const use = (temperatureC: number): Site => ({ temperatureC });
  const towards = (effect: Effect, temperatureC: number): number[] =>
    sites.map((site) => effect.covarianceC2(use(temperatureC), site));
  const allTowards = (temperatureC: number): number[] =>
    effects
      .map((effect) => towards(effect, temperatureC))
      .reduce(
        (sum, each) => sum.map((value, i) => value + (each[i] as number)),
        sites.map(() => 0),
      );

  return {
    meanC: (temperatureC) => dot(allTowards(temperatureC), solved),
    chiSquare: dot(observed, solved),
    leftOut: sites.map((_, i) => {
      const variance = 1 / (solve(sites.map((__, j) => (i === j ? 1 : 0)))[i] as number);
      return { differenceC: (solved[i] as number) * variance, standardUncertaintyC: Math.sqrt(variance) };
    }),
    covarianceC2: (aC, bC) =>
      effects.reduce((sum, { covarianceC2 }) => sum + covarianceC2(use(aC), use(bC)), 0) -
      dot(allTowards(aC), solve(allTowards(bC))),
    lines: (temperatureC) => {
      const weights = solve(allTowards(temperatureC));
      return effects.map((effect, k) => {
        const matrix = among[k] as number[][];
        const variance =
          effect.covarianceC2(use(temperatureC), use(temperatureC)) -
          2 * dot(weights, towards(effect, temperatureC)) +
          dot(
            weights,
            matrix.map((row) => dot(row, weights)),
          );
        return {
          source: effect.source,
          distribution: 'normal',
          standardUncertaintyC: Math.sqrt(Math.max(0, variance)),
        } as const;
      });
    },
  };
}

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, value, i) => sum + value * (b[i] as number), 0);
