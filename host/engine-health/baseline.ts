import { Matrix, solve } from 'ml-matrix';
import { mean, median, sampleStandardDeviation } from 'simple-statistics';
import type { SteadyPoint } from './trips.js';

/** Rise over the sea as this engine has it when healthy, as a parabola in exhaust gas. */
export type Baseline = {
  /** riseC = a + b x + c x^2 with x = (gasC - 300) / 100. */
  readonly a: number;
  readonly b: number;
  readonly c: number;
  /** Standard deviation of the points about it, kelvin. */
  readonly residualK: number;
  /** Standard deviation of whole trips about 1 while it was learned: what changes from day to day and is not cooling. */
  readonly tripScatter: number;
  /** Mean temperature of the sea while it was learned. */
  readonly seaC: number;
  /** The stretch it was learned on; outside it nothing is claimed. */
  readonly fromGasC: number;
  readonly toGasC: number;
  readonly points: number;
  readonly trips: number;
};

const fewestPoints = 30;
const term = (gasC: number) => (gasC - 300) / 100;

/** Least squares on steady minutes; absent with fewer than 30 of them or too narrow a range of load. */
export const learnBaseline = (trips: readonly (readonly SteadyPoint[])[]): Baseline | undefined => {
  const points = trips.flat();
  if (points.length < fewestPoints) return undefined;
  const gas = points.map((p) => p.gasC);
  const fromGasC = Math.min(...gas);
  const toGasC = Math.max(...gas);
  // A curve over a narrow range of load would bend as the noise does.
  const range = toGasC - fromGasC;
  const terms = range > 80 ? 3 : range > 25 ? 2 : 1;
  const x = new Matrix(points.map(({ gasC }) => [1, term(gasC), term(gasC) ** 2].slice(0, terms)));
  const y = Matrix.columnVector(points.map((p) => p.riseC));
  const found = solve(x, y, true).to1DArray();
  const [a = 0, b = 0, c = 0] = found;
  const squares = points.reduce((sum, p) => sum + (p.riseC - riseAt({ a, b, c }, p.gasC)) ** 2, 0);
  const residualK = Math.sqrt(squares / Math.max(1, points.length - terms));
  const ratios = trips
    .filter((trip) => trip.length > 0)
    .map((trip) => median(trip.map((p) => riseAt({ a, b, c }, p.gasC) / p.riseC)));
  return {
    a,
    b,
    c,
    residualK,
    tripScatter: ratios.length > 1 ? sampleStandardDeviation(ratios) : 0,
    seaC: mean(points.map((p) => p.seaC)),
    fromGasC,
    toGasC,
    points: points.length,
    trips: trips.length,
  };
};

/** Slope of the curve: kelvin of rise to a kelvin of gas. */
export const slopeAt = ({ b, c }: Pick<Baseline, 'b' | 'c'>, gasC: number): number =>
  (b + 2 * c * term(gasC)) / 100;

export const riseAt = ({ a, b, c }: Pick<Baseline, 'a' | 'b' | 'c'>, gasC: number): number =>
  a + b * term(gasC) + c * term(gasC) ** 2;
