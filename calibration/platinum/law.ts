import { finite, ThermometryError } from '../errors.js';

/** IEC 60751, platinum of alpha 3.851e-3: R = R0 (1 + A t + B t^2 + C (t - 100) t^3), C only below 0 C. t in C. */
const a = 3.9083e-3;
const b = -5.775e-7;
const c = -4.183e-12;
/** The standard's range. */
const minC = -200;
const maxC = 850;

/** Resistance over that at 0 C. */
const ratio = (t: number): number => 1 + t * (a + t * (b + (t < 0 ? c * t * (t - 100) : 0)));
const slope = (t: number): number => a + 2 * b * t + (t < 0 ? c * t * t * (4 * t - 300) : 0);

/** Resistance of a platinum thermometer of `r0Ohms` at 0 C. Throws outside -200 to 850 C. */
export function platinumOhms(r0Ohms: number, temperatureC: number): number {
  finite(temperatureC, 'temperatureC');
  if (temperatureC >= minC && temperatureC <= maxC) return r0Ohms * ratio(temperatureC);
  throw new ThermometryError(
    temperatureC < minC ? 'below-range' : 'above-range',
    `${temperatureC} C is outside IEC 60751 (${minC} to ${maxC} C).`,
  );
}

/** Temperature of a platinum thermometer: the quadratic from 0 C up, Newton steps below. Throws outside -200 to 850 C. */
export function platinumTemperatureC(r0Ohms: number, ohms: number): number {
  finite(ohms, 'ohms');
  const w = ohms / r0Ohms;
  if (!(w >= ratio(minC) && w <= ratio(maxC)))
    throw new ThermometryError(
      w < ratio(minC) ? 'below-range' : 'above-range',
      `${ohms} ohms is no Pt${r0Ohms} between ${minC} and ${maxC} C. Check its wires, and whether it is a Pt100 or a Pt1000.`,
    );
  let t = (Math.sqrt(a * a + 4 * b * (w - 1)) - a) / (2 * b);
  // Above 0 C the quadratic is the law itself.
  for (let step = 0; t < 0 && step < 8; step++) t -= (ratio(t) - w) / slope(t);
  return t;
}

/** Ohms per C at a temperature. */
export const platinumOhmsPerC = (r0Ohms: number, temperatureC: number): number =>
  r0Ohms * slope(temperatureC);

export type PlatinumClass = 'AA' | 'A' | 'B';

/** Tolerance classes of IEC 60751, half-width in C (A and B agree with a maker's table; AA from memory). */
const classes: Readonly<Record<PlatinumClass, readonly [number, number]>> = {
  AA: [0.1, 0.0017],
  A: [0.15, 0.002],
  B: [0.3, 0.005],
};

export const platinumToleranceC = (grade: PlatinumClass, temperatureC: number): number =>
  classes[grade][0] + classes[grade][1] * Math.abs(temperatureC);
