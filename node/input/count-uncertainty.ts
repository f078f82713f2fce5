import type { Sample } from './sample.js';

/** Standard uncertainty of a mean of several counts: the noise averages out; below half a count of noise the step remains. */
export const countUncertainty = ({ noiseCounts, taken }: Extract<Sample, { kind: 'counts' }>): number => {
  const step = noiseCounts < 0.5 ? 1 / Math.sqrt(12) : 0;
  return Math.hypot(noiseCounts / Math.sqrt(Math.max(1, taken)), step);
};
