import { finite, ThermometryError } from '../errors.js';
import type { ThermistorLaw } from './law-schema.js';

/** 0 C in kelvin, exact by definition of the Celsius scale. */
export const zeroCelsiusK = 273.15;

/** No NTC thermistor of ours is sane outside this span; a result beyond it means the wrong law or a wiring fault. */
const saneMinC = -100;
const saneMaxC = 400;

/** 1/T in 1/K and its slope against ln R; the polynomial every law reduces to. */
function reciprocal(law: ThermistorLaw, lnOhms: number): { readonly perK: number; readonly slope: number } {
  switch (law.law) {
    case 'beta': {
      const slope = 1 / law.betaK;
      return { perK: 1 / (zeroCelsiusK + 25) + (lnOhms - Math.log(law.r25Ohms)) * slope, slope };
    }
    case 'steinhart-hart':
      return {
        perK: law.a + lnOhms * (law.b + law.c * lnOhms * lnOhms),
        slope: law.b + 3 * law.c * lnOhms * lnOhms,
      };
    case 'steinhart-hart-4': {
      const l = lnOhms - Math.log(law.referenceOhms);
      return {
        perK: law.a + l * (law.b + l * (law.c + l * law.d)),
        slope: law.b + l * (2 * law.c + l * 3 * law.d),
      };
    }
  }
}

/**
 * Temperature of a thermistor. Throws for a resistance that is not positive, and where the law gives no sane
 * temperature (outside -100 to 400 C) or falls the wrong way there.
 */
export function thermistorTemperatureC(law: ThermistorLaw, ohms: number): number {
  finite(ohms, 'ohms');
  if (ohms <= 0)
    throw new ThermometryError(
      'not-physical',
      `${ohms} ohms is no thermistor. A resistance is above zero; look for a short circuit.`,
    );
  const { perK, slope } = reciprocal(law, Math.log(ohms));
  const temperatureC = 1 / perK - zeroCelsiusK;
  if (perK > 0 && slope > 0 && temperatureC >= saneMinC && temperatureC <= saneMaxC) return temperatureC;
  throw new ThermometryError(
    perK > 0 && temperatureC < saneMinC ? 'below-range' : 'above-range',
    `${ohms} ohms gives no sane temperature (${saneMinC} to ${saneMaxC} C) under this thermistor's ${law.law} law. Check its coefficients and the wiring.`,
  );
}

/** Resistance at a temperature: the inverse of `thermistorTemperatureC`, by Newton steps in ln R. Throws outside -100 to 400 C. */
export function thermistorOhms(law: ThermistorLaw, temperatureC: number): number {
  finite(temperatureC, 'temperatureC');
  if (temperatureC < saneMinC || temperatureC > saneMaxC)
    throw new ThermometryError(
      temperatureC < saneMinC ? 'below-range' : 'above-range',
      `${temperatureC} C is outside what a thermistor law covers (${saneMinC} to ${saneMaxC} C).`,
    );
  const target = 1 / (temperatureC + zeroCelsiusK);
  if (law.law === 'beta') return law.r25Ohms * Math.exp(law.betaK * (target - 1 / (zeroCelsiusK + 25)));
  let lnOhms = law.law === 'steinhart-hart-4' ? Math.log(law.referenceOhms) : 9;
  for (let step = 0; step < 60; step++) {
    const { perK, slope } = reciprocal(law, lnOhms);
    if (!(slope > 0)) break;
    const change = Math.max(-2, Math.min(2, (target - perK) / slope));
    lnOhms += change;
    if (Math.abs(change) < 1e-14 * Math.abs(lnOhms)) return Math.exp(lnOhms);
  }
  if (Math.abs(reciprocal(law, lnOhms).perK / target - 1) < 1e-12) return Math.exp(lnOhms);
  throw new ThermometryError(
    'no-convergence',
    `This thermistor's ${law.law} law has no resistance at ${temperatureC} C. Check its coefficients.`,
  );
}

/** dT/dR in C per ohm, negative: what an error of one ohm does to the temperature. */
export function thermistorSlopeCPerOhm(law: ThermistorLaw, ohms: number): number {
  const kelvin = thermistorTemperatureC(law, ohms) + zeroCelsiusK;
  return (-kelvin * kelvin * reciprocal(law, Math.log(ohms)).slope) / ohms;
}
