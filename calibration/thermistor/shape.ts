import type { SteinhartHart4Law, ThermistorLaw } from './law-schema.js';
import { thermistorOhms, zeroCelsiusK } from './laws.js';

/**
 * Standard uncertainties of square and cubic term, 1/K: from a datasheet's curve, and from a beta alone. The second cover
 * the published materials that `shapeOf` is drawn through and the lines of their families.
 */
export const shapeTerms = { curve: [0.1e-6, 0.5e-8], beta: [0.5e-6, 4e-8] } as const;

/**
 * Any law as four terms about its own resistance at 25 C. A beta says nothing of the curvature; it is taken from three
 * published materials (NTCLE100E3 and Amphenol 1, B25/85 = 3977 K: 2.5e-6; 103AT-2, 3435 K: 5.0e-6), straight between.
 */
export function shapeOf(law: ThermistorLaw): SteinhartHart4Law {
  if (law.law === 'steinhart-hart-4') return law;
  if (law.law === 'steinhart-hart') {
    const referenceOhms = thermistorOhms(law, 25);
    const l0 = Math.log(referenceOhms);
    return {
      law: 'steinhart-hart-4',
      a: law.a + l0 * (law.b + law.c * l0 * l0),
      b: law.b + 3 * law.c * l0 * l0,
      c: 3 * law.c * l0,
      d: law.c,
      referenceOhms,
    };
  }
  const c = 2.5e-6 + (3977 - law.betaK) * 4.6e-9;
  const d = 6.5e-8;
  const at25 = 1 / (zeroCelsiusK + 25);
  const at85 = 1 / (zeroCelsiusK + 85);
  const l = law.betaK * (at85 - at25);
  return {
    law: 'steinhart-hart-4',
    a: at25,
    b: (at85 - at25) / l - l * (c + l * d),
    c,
    d,
    referenceOhms: law.r25Ohms,
  };
}
