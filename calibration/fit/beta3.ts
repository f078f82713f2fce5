import { Matrix, QrDecomposition } from 'ml-matrix';
import { ThermometryError } from '../errors.js';
import { type NamedFit, named } from './named-fit.js';
import { uncertaintiesOf } from './polynomial.js';
import { expectResistances, type ThermistorPoint, type ThermistorPrediction } from './steinhart-hart.js';

export type Beta3Start = { readonly b1: number; readonly b2: number; readonly b3: number };
export type Beta3Fit = NamedFit & {
  readonly predict: (temperatureC: number) => ThermistorPrediction;
};

/** ln b1, b2, b3: the logarithm tames a parameter that runs over twenty powers of ten. */
type Vector = readonly [number, number, number];

/**
 * The three-parameter thermistor law R = b1 exp(b2 / (T + b3)), T in C, least squares in ohms (weighted when every
 * point brings `u` in ohms). Damped steps (Levenberg and Marquardt) from `start`, or from a start found by scanning b3,
 * where the law is a straight line in ln R; when a given start leads nowhere the scan takes over.
 */
export function fitBeta3(points: readonly ThermistorPoint[], start?: Beta3Start): Beta3Fit {
  if (points.length < 3)
    throw new ThermometryError('too-few-points', `${points.length} points cannot carry 3 parameters.`);
  if (new Set(points.map((p) => p.temperatureC)).size < 3)
    throw new ThermometryError('no-spread', 'Three different temperatures are needed for three parameters.');
  expectResistances(points);
  const stated = uncertaintiesOf(points);
  const weights = points.map((_, i) => 1 / (stated?.[i] ?? 1));
  const candidates = [startVector(start, points), scannedStart(points)].flatMap((v) => (v ? [v] : []));
  const best = candidates
    .map((from) => damped(points, weights, damped(points, logWeights(points), from, 'ln-ohms').at, 'ohms'))
    .sort((a, b) => a.sumOfSquares - b.sumOfSquares)[0];
  if (!best?.converged)
    throw new ThermometryError(
      'no-convergence',
      'No three-parameter law fits these points. Check that R falls as T rises and that the columns are not swapped.',
    );
  return describe(points, stated, best.at);
}

function describe(
  points: readonly ThermistorPoint[],
  stated: readonly number[] | undefined,
  at: Vector,
): Beta3Fit {
  const b1 = Math.exp(at[0]);
  const weights = points.map((_, i) => 1 / (stated?.[i] ?? 1));
  const residuals = points.map((p) => p.resistanceOhms - ohmsAt(at, p.temperatureC));
  const degreesOfFreedom = points.length - 3;
  const chiSquare = residuals.reduce((sum, r, i) => sum + (r * (weights[i] as number)) ** 2, 0);
  const scale = stated ? 1 : degreesOfFreedom > 0 ? chiSquare / degreesOfFreedom : undefined;
  // Derivatives by b1 rather than ln b1, so that the covariance is of the parameters as printed.
  const slopes = (t: number): readonly number[] => {
    const [d1, d2, d3] = derivatives(at, t, 'ohms');
    return [d1 / b1, d2, d3];
  };
  const covariance =
    scale === undefined
      ? undefined
      : inverseNormal(
          points.map((p) => slopes(p.temperatureC)),
          weights,
          scale,
        );
  const birgeRatio = stated && degreesOfFreedom > 0 ? Math.sqrt(chiSquare / degreesOfFreedom) : undefined;
  const parameters = [b1, at[1], at[2]];
  return {
    ...named(
      'beta3',
      ['b1', 'b2', 'b3'],
      { parameters, covariance, degreesOfFreedom, birgeRatio },
      residuals,
    ),
    predict: (temperatureC) => {
      const s = slopes(temperatureC);
      const variance = covariance?.reduce(
        (sum, row, i) =>
          sum + row.reduce((inner, c, j) => inner + (s[i] as number) * c * (s[j] as number), 0),
        0,
      );
      return {
        temperatureC,
        resistanceOhms: ohmsAt(at, temperatureC),
        u: variance === undefined ? null : Math.sqrt(variance),
      };
    },
  };
}

type Domain = 'ohms' | 'ln-ohms';

const ohmsAt = ([lnB1, b2, b3]: Vector, temperatureC: number): number =>
  Math.exp(lnB1 + b2 / (temperatureC + b3));

const valueAt = (v: Vector, t: number, domain: Domain): number =>
  domain === 'ohms' ? ohmsAt(v, t) : v[0] + v[1] / (t + v[2]);

function derivatives(v: Vector, t: number, domain: Domain): Vector {
  const inner = 1 / (t + v[2]);
  const scale = domain === 'ohms' ? ohmsAt(v, t) : 1;
  return [scale, scale * inner, -scale * v[1] * inner * inner];
}

/** Equal weights in ln R. */
const logWeights = (points: readonly ThermistorPoint[]): readonly number[] => points.map(() => 1);

/** Damped least squares; a step that makes things worse is taken back and tried shorter. */
function damped(
  points: readonly ThermistorPoint[],
  weights: readonly number[],
  from: Vector,
  domain: Domain,
): { readonly at: Vector; readonly sumOfSquares: number; readonly converged: boolean } {
  const coldest = Math.min(...points.map((p) => p.temperatureC));
  const observed = points.map((p) => (domain === 'ohms' ? p.resistanceOhms : Math.log(p.resistanceOhms)));
  const residualsAt = (v: Vector): number[] =>
    points.map(
      (p, i) => (weights[i] as number) * ((observed[i] as number) - valueAt(v, p.temperatureC, domain)),
    );
  const sumAt = (v: Vector): number => residualsAt(v).reduce((sum, r) => sum + r * r, 0);

  let at = from;
  let sum = sumAt(at);
  let damping = 1e-3;
  for (let step = 0; step < 2000; step++) {
    const residuals = residualsAt(at);
    const jacobian = points.map((p, i) =>
      derivatives(at, p.temperatureC, domain).map((d) => d * (weights[i] as number)),
    );
    const change = dampedStep(jacobian, residuals, damping);
    const next: Vector = [at[0] + change[0], at[1] + change[1], at[2] + change[2]];
    const nextSum = next[2] > -coldest && Number.isFinite(next[0]) ? sumAt(next) : Number.POSITIVE_INFINITY;
    const small = change.every((c, i) => Math.abs(c) <= 1e-13 * Math.max(Math.abs(at[i] as number), 1e-6));
    if (nextSum <= sum) {
      at = next;
      sum = nextSum;
      damping = Math.max(damping / 10, 1e-20);
      if (small) return { at, sumOfSquares: sum, converged: true };
    } else {
      // Rounding alone can make the sum rise by its last digits; then the answer is reached.
      if (small || damping > 1e15)
        return { at, sumOfSquares: sum, converged: small || isFlat(jacobian, residuals) };
      damping = Math.max(damping * 10, 1e-12);
    }
  }
  return { at, sumOfSquares: sum, converged: false };
}

/** At a minimum the residuals are orthogonal to every derivative. */
function isFlat(jacobian: readonly (readonly number[])[], residuals: readonly number[]): boolean {
  const size = Math.hypot(...residuals);
  return [0, 1, 2].every((j) => {
    const column = jacobian.map((row) => row[j] as number);
    const dot = column.reduce((sum, c, i) => sum + c * (residuals[i] as number), 0);
    return Math.abs(dot) <= 1e-6 * Math.hypot(...column) * size || size === 0;
  });
}

/** Solves the step as least squares with Marquardt's scaling, stacked below the derivatives: no normal equations. */
function dampedStep(
  jacobian: readonly (readonly number[])[],
  residuals: readonly number[],
  damping: number,
): Vector {
  const norms = [0, 1, 2].map((j) => Math.hypot(...jacobian.map((row) => row[j] as number)) || 1);
  const rows = [
    ...jacobian.map((row) => row.map((d, j) => d / (norms[j] as number))),
    ...[0, 1, 2].map((j) => [0, 1, 2].map((k) => (j === k ? Math.sqrt(damping) : 0))),
  ];
  try {
    const solved = new QrDecomposition(new Matrix(rows))
      .solve(Matrix.columnVector([...residuals, 0, 0, 0]))
      .getColumn(0);
    return solved.map((c, j) => c / (norms[j] as number)) as unknown as Vector;
  } catch {
    return [0, 0, 0];
  }
}

function inverseNormal(
  jacobian: readonly (readonly number[])[],
  weights: readonly number[],
  scale: number,
): readonly (readonly number[])[] {
  const weighted = jacobian.map((row, i) => row.map((d) => d * (weights[i] as number)));
  const norms = [0, 1, 2].map((j) => Math.hypot(...weighted.map((row) => row[j] as number)));
  const q = new QrDecomposition(
    new Matrix(weighted.map((row) => row.map((d, j) => d / (norms[j] as number)))),
  );
  const inverse = q.solve(Matrix.eye(jacobian.length));
  const unit = inverse.mmul(inverse.transpose());
  return unit
    .to2DArray()
    .map((row, i) => row.map((c, j) => (scale * c) / ((norms[i] as number) * (norms[j] as number))));
}

/** A start as given, usable only if it gives finite resistances of the right sign. */
function startVector(start: Beta3Start | undefined, points: readonly ThermistorPoint[]): Vector | undefined {
  if (!start) return undefined;
  const v: Vector = [Math.log(start.b1), start.b2, start.b3];
  return points.every(
    (p) => p.temperatureC + start.b3 > 0 && Number.isFinite(valueAt(v, p.temperatureC, 'ln-ohms')),
  )
    ? v
    : undefined;
}

/** For each of many b3 the law is a straight line in ln R; the best of them is a start close to home. */
function scannedStart(points: readonly ThermistorPoint[]): Vector | undefined {
  const coldest = Math.min(...points.map((p) => p.temperatureC));
  let best: { v: Vector; sum: number } | undefined;
  for (let above = 5; above < 2e4; above *= 1.1) {
    const b3 = above - coldest;
    const x = points.map((p) => 1 / (p.temperatureC + b3));
    const y = points.map((p) => Math.log(p.resistanceOhms));
    const meanX = x.reduce((s, v) => s + v, 0) / x.length;
    const meanY = y.reduce((s, v) => s + v, 0) / y.length;
    const sxx = x.reduce((s, v) => s + (v - meanX) ** 2, 0);
    const b2 = x.reduce((s, v, i) => s + (v - meanX) * ((y[i] as number) - meanY), 0) / sxx;
    const v: Vector = [meanY - b2 * meanX, b2, b3];
    const sum = points.reduce(
      (s, p, i) => s + ((y[i] as number) - valueAt(v, p.temperatureC, 'ln-ohms')) ** 2,
      0,
    );
    if (!best || sum < best.sum) best = { v, sum };
  }
  return best?.v;
}
