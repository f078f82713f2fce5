import { CholeskyDecomposition, Matrix, QrDecomposition } from 'ml-matrix';
import { ThermometryError } from '../errors.js';

/** A straight question to least squares: observed = design x parameters. */
export type LinearProblem = {
  /** One row a point, one column a parameter. */
  readonly design: readonly (readonly number[])[];
  readonly observed: readonly number[];
  /**
   * What is known of the errors of `observed`: standard uncertainties, or their whole covariance when points share a
   * cause. Absent: all points count alike and the scatter of the residuals says how good they are.
   */
  readonly errors?: readonly number[] | readonly (readonly number[])[] | undefined;
};

export type LinearFit = {
  readonly parameters: readonly number[];
  /** Undefined when neither the caller nor the scatter of the points gives one: as many parameters as points. */
  readonly covariance: readonly (readonly number[])[] | undefined;
  readonly residuals: readonly number[];
  /** Root of sum(residual^2) / (points - parameters); undefined without spare points. */
  readonly residualStandardDeviation: number | undefined;
  readonly degreesOfFreedom: number;
  /** Root of chi-square over degrees of freedom: near 1 when the stated errors are true. Only with stated errors. */
  readonly birgeRatio: number | undefined;
  /** parameters = estimator x observed: what an error of one point does to each parameter. */
  readonly estimator: readonly (readonly number[])[];
};

/**
 * Generalised least squares by Householder QR on scaled columns, whitened by the errors.
 * With stated errors the covariance follows from them (JCGM 100, 5.2 and H.3); without, from the residuals.
 * Throws when there are fewer points than parameters, or when the points cannot separate the parameters.
 */
export function fitLinear({ design, observed, errors }: LinearProblem): LinearFit {
  const points = observed.length;
  const count = design[0]?.length ?? 0;
  if (points < count || count === 0)
    throw new ThermometryError(
      'too-few-points',
      `${points} points cannot carry ${count} parameters. Give at least ${count} points, better ${count + 2}.`,
    );
  const whiten = whitening(errors, points);
  const white = whiten.mmul(new Matrix(design.map((row) => [...row])));
  const scales = Array.from({ length: count }, (_, j) => white.getColumnVector(j).norm());
  if (scales.some((scale) => !(scale > 0))) throw noSpread(count);
  const scaled = Matrix.zeros(points, count);
  for (let i = 0; i < points; i++)
    for (let j = 0; j < count; j++) scaled.set(i, j, white.get(i, j) / (scales[j] as number));

  const qr = new QrDecomposition(scaled);
  const diagonal = Array.from({ length: count }, (_, j) => Math.abs(qr.upperTriangularMatrix.get(j, j)));
  if (Math.min(...diagonal) < 1e-12 * Math.max(...diagonal)) throw noSpread(count);
  const unscale = Matrix.diag(scales.map((scale) => 1 / scale));
  const estimator = unscale.mmul(qr.solve(whiten));
  // Solved from the observations themselves, which keeps two digits more than multiplying by the estimator.
  const observedColumn = Matrix.columnVector([...observed]);
  const parameters = unscale.mmul(qr.solve(whiten.mmul(observedColumn))).getColumn(0);

  const residuals = observed.map(
    (value, i) =>
      value - (design[i] as readonly number[]).reduce((s, x, j) => s + x * (parameters[j] ?? 0), 0),
  );
  const degreesOfFreedom = points - count;
  const sum = residuals.reduce((s, r) => s + r * r, 0);
  const residualStandardDeviation = degreesOfFreedom > 0 ? Math.sqrt(sum / degreesOfFreedom) : undefined;
  const chiSquare = whiten.mmul(Matrix.columnVector(residuals)).norm() ** 2;
  const inverse = unscale.mmul(qr.solve(Matrix.eye(points)));
  const unit = inverse.mmul(inverse.transpose());
  const known = errors !== undefined;
  return {
    parameters,
    covariance: known
      ? unit.to2DArray()
      : residualStandardDeviation === undefined
        ? undefined
        : unit.mul(residualStandardDeviation ** 2).to2DArray(),
    residuals,
    residualStandardDeviation,
    degreesOfFreedom,
    birgeRatio: known && degreesOfFreedom > 0 ? Math.sqrt(chiSquare / degreesOfFreedom) : undefined,
    estimator: estimator.to2DArray(),
  };
}

/** Standard uncertainty of a linear combination of the parameters; undefined when the covariance is. */
export function combinationUncertainty(
  covariance: LinearFit['covariance'],
  weights: readonly number[],
): number | undefined {
  if (!covariance) return undefined;
  let sum = 0;
  for (const [i, row] of covariance.entries())
    for (const [j, value] of row.entries()) sum += (weights[i] as number) * value * (weights[j] as number);
  return Math.sqrt(Math.max(0, sum));
}

/** The matrix that turns correlated errors into independent ones of size one. */
function whitening(errors: LinearProblem['errors'], points: number): Matrix {
  if (errors === undefined) return Matrix.eye(points);
  if (errors.length !== points)
    throw new ThermometryError('not-physical', `${errors.length} uncertainties for ${points} points.`);
  if (isMatrix(errors)) {
    const cholesky = new CholeskyDecomposition(new Matrix(errors.map((row) => [...row])));
    if (!cholesky.isPositiveDefinite()) throw notPositive('the covariance of the points');
    return new QrDecomposition(cholesky.lowerTriangularMatrix).solve(Matrix.eye(points));
  }
  for (const u of errors) if (!(u > 0 && Number.isFinite(u))) throw notPositive(`uncertainty ${u}`);
  return Matrix.diag(errors.map((u) => 1 / u));
}

const isMatrix = (
  errors: readonly (number | readonly number[])[],
): errors is readonly (readonly number[])[] => Array.isArray(errors[0]);

const notPositive = (what: string): ThermometryError =>
  new ThermometryError('not-physical', `${what} must be above zero.`);

const noSpread = (count: number): ThermometryError =>
  new ThermometryError(
    'no-spread',
    `The points are too close together to separate ${count} parameters. Spread them over the range you care about.`,
  );
