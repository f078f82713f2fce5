import type { LearnedTuning } from './learned-detector.js';

/** Chosen on simulated boats (`npm run campaign`), never on the seeds its results are stated for. */
export const learnedTuning: LearnedTuning = {
  leadS: { 'strap-on': 6, well: 6, free: 6 },
  leastK: 2.5,
  spreadFactor: 1.35,
  spreadMoreK: 0.3,
  graceS: 35,
  afterStartK: 6,
  cusumKS: 8,
  cusumCapK: 10,
  steadyTwinK: 2.4,
  steadySingleK: 3.5,
  alarmK: 14,
  alarmCPerS: 0.4,
  twinShare: 0.8,
  twinClipK: 3,
};
