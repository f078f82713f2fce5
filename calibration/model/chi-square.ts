import { errorFunction } from 'simple-statistics';

/** Chance that chi-square of whole degrees of freedom exceeds a value (Abramowitz and Stegun 26.4.4, 26.4.5). */
export function chiSquareTail(chiSquare: number, freedom: number): number {
  const x = Math.sqrt(Math.max(0, chiSquare));
  const bell = Math.exp((-x * x) / 2);
  if (freedom % 2 === 0) {
    let term = 1;
    let sum = 1;
    for (let r = 1; r <= (freedom - 2) / 2; r++) {
      term *= (x * x) / (2 * r);
      sum += term;
    }
    return bell * sum;
  }
  let term = x;
  let sum = freedom > 1 ? x : 0;
  for (let r = 2; r <= (freedom - 1) / 2; r++) {
    term *= (x * x) / (2 * r - 1);
    sum += term;
  }
  return 2 * upperBell(x) + Math.sqrt(2 / Math.PI) * bell * sum;
}

/** Upper tail of the bell, to 1e-7. */
const upperBell = (x: number): number => 0.5 * (1 - errorFunction(x / Math.SQRT2));
