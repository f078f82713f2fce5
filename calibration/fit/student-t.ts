import { bell95 } from '../budget/coverage-factor.js';

/**
 * Student's factor for a 95 % interval with this many degrees of freedom (JCGM 100, G.3); the bell's 1.96 where there is no
 * scatter to count them from. By bisection of the closed form for whole degrees (Abramowitz and Stegun 26.7.3, 26.7.4).
 */
export function studentFactor95(freedom: number): number {
  if (!Number.isFinite(freedom)) return bell95;
  let low = 1.9;
  let high = 13;
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (within(middle, freedom) < 0.95) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Chance that |t| stays below a value. */
function within(t: number, freedom: number): number {
  const theta = Math.atan(t / Math.sqrt(freedom));
  const cos2 = Math.cos(theta) ** 2;
  const odd = freedom % 2 === 1;
  let term = odd ? Math.cos(theta) : 1;
  let sum = freedom === 1 ? 0 : term;
  for (let k = odd ? 3 : 2; k <= freedom - 2; k += 2) {
    term *= (cos2 * (k - 1)) / k;
    sum += term;
  }
  return odd ? (2 / Math.PI) * (theta + Math.sin(theta) * sum) : Math.sin(theta) * sum;
}
