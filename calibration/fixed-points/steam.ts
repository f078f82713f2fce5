import { finite, ThermometryError } from '../errors.js';
import { zeroCelsiusK } from '../thermistor/laws.js';

/** IAPWS R7-97(2012), region 4 (saturation line), coefficients n1 to n10. Pressure in MPa, temperature in K. */
const [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = [
  1167.0521452767, -724213.16703206, -17.073846940092, 12020.82470247, -3232555.0322333, 14.91510861353,
  -4823.2657361591, 405113.40542057, -0.23855557567849, 650.17534844798,
] as const;

/** Range of region 4: 273.15 K to the critical point, 611.213 Pa to 22.064 MPa. */
const minPressureHectopascals = 6.11213;
const maxPressureHectopascals = 220640;
const maxC = 647.096 - zeroCelsiusK;

/** Temperature at which pure water boils under an absolute (station) pressure. Throws outside 6.11213 to 220640 hPa. */
export function boilingC(stationPressureHectopascals: number): number {
  finite(stationPressureHectopascals, 'pressureHectopascals');
  checkRange(
    stationPressureHectopascals,
    minPressureHectopascals,
    maxPressureHectopascals,
    'hPa of steam pressure',
  );
  const beta = (stationPressureHectopascals * 1e-4) ** 0.25;
  const e = beta * beta + n3 * beta + n6;
  const f = n1 * beta * beta + n4 * beta + n7;
  const g = n2 * beta * beta + n5 * beta + n8;
  const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
  return (n10 + d - Math.sqrt((n10 + d) ** 2 - 4 * (n9 + n10 * d))) / 2 - zeroCelsiusK;
}

/** Saturation pressure of water in hPa. Throws outside 0 to 373.946 C. */
export function steamPressureHectopascals(temperatureC: number): number {
  finite(temperatureC, 'temperatureC');
  checkRange(temperatureC, 0, maxC, 'C on the saturation line');
  const kelvin = temperatureC + zeroCelsiusK;
  const theta = kelvin + n9 / (kelvin - n10);
  const a = theta * theta + n1 * theta + n2;
  const b = n3 * theta * theta + n4 * theta + n5;
  const c = n6 * theta * theta + n7 * theta + n8;
  return ((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c))) ** 4 * 1e4;
}

/** How the boiling point answers to pressure, in C per hPa: about 0.028 at sea level. */
export function boilingSlopeCPerHectopascal(stationPressureHectopascals: number): number {
  const step = 0.5;
  const above = Math.min(stationPressureHectopascals + step, maxPressureHectopascals);
  const below = Math.max(stationPressureHectopascals - step, minPressureHectopascals);
  return (boilingC(above) - boilingC(below)) / (above - below);
}

function checkRange(value: number, low: number, high: number, what: string): void {
  if (value >= low && value <= high) return;
  throw new ThermometryError(
    value < low ? 'below-range' : 'above-range',
    `${value} is outside ${low} to ${high.toFixed(3)} ${what}. Check the value and its unit.`,
  );
}
