import { ThermometryError } from '../errors.js';
import { thermistorTemperatureC, zeroCelsiusK } from '../thermistor/laws.js';
import { shapeOf, shapeTerms } from '../thermistor/shape.js';
import { combinationUncertainty, fitLinear } from './linear-fit.js';
import { named } from './named-fit.js';
import { uncertaintiesOf } from './polynomial.js';
import type { ThermistorFit, ThermistorPoint } from './steinhart-hart.js';

/** Taken for a point that states no uncertainty: a careful person's bath (common practice, no source). */
const usualC = 0.1;

/**
 * A thermistor through two points: resistance and slope from them, the curvature from what published materials of such a
 * slope have, with its spread. The same knowledge as a calibration starts from. Two numbers alone (a beta) would be a
 * degree wrong between 0 and 100 C and not say so.
 */
export function fitTwoPoints(points: readonly ThermistorPoint[]): ThermistorFit {
  const [p, q] = points;
  if (
    !p ||
    !q ||
    points.length > 2 ||
    p.resistanceOhms === q.resistanceOhms ||
    p.temperatureC === q.temperatureC
  )
    throw new ThermometryError(
      'too-few-points',
      'A thermistor needs two points of different temperature and resistance at least.',
    );
  const kelvin = points.map((each) => each.temperatureC + zeroCelsiusK);
  const [pK = 0, qK = 0] = kelvin;
  const betaK = Math.log(p.resistanceOhms / q.resistanceOhms) / (1 / pK - 1 / qK);
  if (!(betaK > 0))
    throw new ThermometryError(
      'not-physical',
      'The resistance of an NTC thermistor falls as it gets warmer. Check that the columns are not swapped.',
    );
  const r25Ohms = p.resistanceOhms * Math.exp(betaK * (1 / (zeroCelsiusK + 25) - 1 / pK));
  const shape = shapeOf({ law: 'beta', r25Ohms, betaK });
  const row = (ohms: number): number[] => {
    const l = Math.log(ohms / r25Ohms);
    return [1, l, l * l, l * l * l];
  };
  const perC = kelvin.map((k) => 1 / (k * k));
  const fit = fitLinear({
    design: [
      ...points.map((each, i) => row(each.resistanceOhms).map((x) => x / (perC[i] as number))),
      [0, 0, 1, 0],
      [0, 0, 0, 1],
    ],
    observed: [...kelvin.map((k, i) => 1 / k / (perC[i] as number)), shape.c, shape.d],
    errors: [...(uncertaintiesOf(points) ?? points.map(() => usualC)), ...shapeTerms.beta],
  });
  const [a = 0, b = 0, c = 0, d = 0] = fit.parameters;
  const law = { law: 'steinhart-hart-4', a, b, c, d, referenceOhms: r25Ohms } as const;
  const predict = (resistanceOhms: number) => {
    const temperatureC = thermistorTemperatureC(law, resistanceOhms);
    const reciprocal = combinationUncertainty(fit.covariance, row(resistanceOhms)) as number;
    return { resistanceOhms, temperatureC, u: reciprocal * (temperatureC + zeroCelsiusK) ** 2 };
  };
  const residuals = points.map((each) => each.temperatureC - predict(each.resistanceOhms).temperatureC);
  const found = named('steinhart-hart-4', ['A', 'B', 'C', 'D'], { ...fit, degreesOfFreedom: 0 }, residuals);
  return { ...found, parameters: { ...found.parameters, referenceOhms: r25Ohms }, law, predict };
}
