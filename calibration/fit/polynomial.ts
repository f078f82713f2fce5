import { ThermometryError } from '../errors.js';
import { combinationUncertainty, fitLinear } from './linear-fit.js';
import { type NamedFit, named } from './named-fit.js';

export type XyPoint = { readonly x: number; readonly y: number; readonly u?: number };
export type Prediction = { readonly x: number; readonly y: number; readonly u: number | null };
export type PolynomialFit = NamedFit & { readonly predict: (x: number) => Prediction };

/**
 * y = c0 + c1 (x - origin) + ... by least squares, weighted when every point brings a standard uncertainty `u`.
 * A line calls its parameters intercept and slope. Throws for too few points or points without spread in x.
 */
export function fitPolynomial(points: readonly XyPoint[], degree: number, origin = 0): PolynomialFit {
  const row = (x: number): number[] =>
    Array.from({ length: degree + 1 }, (_, power) => (x - origin) ** power);
  const distinct = new Set(points.map((p) => p.x)).size;
  if (points.length > degree && distinct <= degree)
    throw new ThermometryError(
      'no-spread',
      `Only ${distinct} different values of x; a polynomial of degree ${degree} needs ${degree + 1}.`,
    );
  const fit = fitLinear({
    design: points.map((p) => row(p.x)),
    observed: points.map((p) => p.y),
    errors: uncertaintiesOf(points),
  });
  const names = degree === 1 ? ['intercept', 'slope'] : Array.from({ length: degree + 1 }, (_, i) => `c${i}`);
  return {
    ...named(degree === 1 ? 'line' : 'polynomial', names, fit, fit.residuals),
    predict: (x) => ({
      x,
      y: row(x).reduce((sum, value, i) => sum + value * (fit.parameters[i] as number), 0),
      u: combinationUncertainty(fit.covariance, row(x)) ?? null,
    }),
  };
}

/** Stated uncertainties of all points, or undefined when none has one. Throws when only some do. */
export function uncertaintiesOf(points: readonly { readonly u?: number }[]): readonly number[] | undefined {
  const stated = points.flatMap((p) => (p.u === undefined ? [] : [p.u]));
  if (stated.length === 0) return undefined;
  if (stated.length === points.length) return stated;
  throw new ThermometryError(
    'not-a-number',
    `Only ${stated.length} of ${points.length} points state an uncertainty u. Give it for all points or for none.`,
  );
}
