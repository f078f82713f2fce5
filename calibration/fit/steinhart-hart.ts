import { ThermometryError } from '../errors.js';
import type { ThermistorLaw } from '../thermistor/law-schema.js';
import { thermistorTemperatureC, zeroCelsiusK } from '../thermistor/laws.js';
import { combinationUncertainty, fitLinear } from './linear-fit.js';
import { type NamedFit, named } from './named-fit.js';
import { uncertaintiesOf } from './polynomial.js';

/** `u` is the standard uncertainty of the temperature, in C. */
export type ThermistorPoint = {
  readonly temperatureC: number;
  readonly resistanceOhms: number;
  readonly u?: number;
};

/** Throws for a resistance that cannot be. */
export function expectResistances(points: readonly ThermistorPoint[]): void {
  for (const { resistanceOhms } of points)
    if (!(resistanceOhms > 0))
      throw new ThermometryError('not-physical', `resistanceOhms ${resistanceOhms} must be above zero.`);
}

export type ThermistorPrediction = {
  readonly resistanceOhms: number;
  readonly temperatureC: number;
  readonly u: number | null;
};
export type ThermistorFit = NamedFit & {
  readonly law: ThermistorLaw;
  readonly predict: (resistanceOhms: number) => ThermistorPrediction;
};

/**
 * Steinhart and Hart's equation through thermistor points, least squares in degrees: 1/T = A + B L + C L^3 (three terms)
 * or A + B L + C L^2 + D L^3 (four), L = ln(R / 1 ohm). Two terms are the beta law. Residuals are in C.
 */
export function fitSteinhartHart(points: readonly ThermistorPoint[], terms: 2 | 3 | 4): ThermistorFit {
  expectResistances(points);
  const row = (ohms: number): number[] => {
    const l = Math.log(ohms);
    if (terms === 2) return [1, l];
    return terms === 3 ? [1, l, l ** 3] : [1, l, l ** 2, l ** 3];
  };
  const distinct = new Set(points.map((p) => p.resistanceOhms)).size;
  if (points.length >= terms && distinct < terms)
    throw new ThermometryError(
      'no-spread',
      `Only ${distinct} different resistances; ${terms} terms need at least ${terms}.`,
    );
  const kelvin = points.map((p) => p.temperatureC + zeroCelsiusK);
  const stated = uncertaintiesOf(points);
  // A degree is T^2 as large in 1/T, so dividing rows by that makes the residuals degrees.
  const perC = kelvin.map((k) => 1 / (k * k));
  const fit = fitLinear({
    design: points.map((p, i) => row(p.resistanceOhms).map((x) => x / (perC[i] as number))),
    observed: kelvin.map((k, i) => 1 / k / (perC[i] as number)),
    errors: stated,
  });
  const [a = 0, b = 0, c = 0, d = 0] = fit.parameters;
  const law: ThermistorLaw =
    terms === 4
      ? { law: 'steinhart-hart-4', a, b, c, d, referenceOhms: 1 }
      : { law: 'steinhart-hart', a, b, c: terms === 3 ? c : 0 };
  const predict = (resistanceOhms: number): ThermistorPrediction => {
    const temperatureC = thermistorTemperatureC(law, resistanceOhms);
    const reciprocal = combinationUncertainty(fit.covariance, row(resistanceOhms));
    const u = reciprocal === undefined ? null : reciprocal * (temperatureC + zeroCelsiusK) ** 2;
    return { resistanceOhms, temperatureC, u };
  };
  const residuals = points.map((p) => p.temperatureC - predict(p.resistanceOhms).temperatureC);
  return { ...named('steinhart-hart', ['A', 'B', 'C', 'D'].slice(0, terms), fit, residuals), law, predict };
}
