import type { ElbowBaseline } from '../../../node/guard/baseline.js';

const none = { q998K: 1, seconds: 1000 };
/** Learned: 0.1 K of rise for each degree of the 22 s memory above 150 C. */
export const learnedElbow: ElbowBaseline = {
  coefficients: [-15, 0, 0.1, 0, 0, 0],
  gasC: { min: 100, max: 340 },
  highestRiseK: 20,
  spread: {
    'warm-up': none,
    'falling-fast': none,
    falling: none,
    steady: none,
    rising: none,
    'rising-fast': none,
  },
};
