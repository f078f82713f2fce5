import type { LearnedTuning } from './learned-state.js';

/** Chosen on simulated boats (`npm run campaign`), never on the seeds its results are stated for. */
export const learnedTuning: LearnedTuning = {
  leadS: { 'strap-on': 20, well: 10, free: 20 },
  leastK: 3.6,
  leastChangeK: 2,
  spreadFactor: 1.6,
  spreadMoreK: 0.3,
  graceS: 35,
  afterStartK: 6,
  mostSoakK: 25,
  // A gulp of air lasts up to three seconds: a ring does not feel it, a well does, and a well that lost its water is far above.
  cusum: {
    'strap-on': { limitKS: 6, growingKS: 6, capK: 10 },
    well: { limitKS: 20, growingKS: 13, capK: 20 },
    free: { limitKS: 8, growingKS: 8, capK: 10 },
  },
  steadyTwinK: 3,
  steadySingleK: 3.5,
  alarmK: 14,
  alarmCPerS: 0.4,
  twinShare: 0.8,
  twinClipK: 3,
  twinNowClipK: 6,
};
