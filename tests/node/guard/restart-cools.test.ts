import { describe, expect, it } from 'vitest';
import { expectedRiseK } from '../../../node/guard/baseline.js';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { stepLearned } from '../../../node/guard/learned-detector.js';
import { learnedAtRest } from '../../../node/guard/learned-state.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import { learnedElbow } from './learned-elbow.js';

const exhaust = { a: 250, b: 250, c: 250 };
const calm: ElbowView = {
  elbowC: 20,
  slopeCPerS: 0,
  seaC: 20,
  exhaust,
  phase: 'running',
  sinceStartS: 2000,
  warmS: 420,
  sinceThrottledBackS: 600,
  mounting: 'strap-on',
  dtS: 0.2,
};

/** Sails with this residual above what was learned, K; gives when something was first reported, s. */
function reportedAtS(residualAt: (s: number) => number, change: Partial<ElbowView> = {}, forS = 600) {
  let state = learnedAtRest;
  for (let s = 0; s < forS; s += 0.2) {
    const elbowC = 20 + expectedRiseK(learnedElbow, exhaust, 20) + residualAt(s);
    const judged = stepLearned(state, { ...calm, ...change, elbowC }, learnedElbow, undefined, learnedTuning);
    state = judged.state;
    if (judged.finding) return s;
  }
  return undefined;
}

describe('a restart with soaked-up heat', () => {
  const hot = { sinceStartS: 60 };

  it('an elbow that falls as only its water lets it is not reported, however warm; one that hardly falls is', () => {
    expect(reportedAtS((s) => 60 - 0.3 * s, { ...hot, slopeCPerS: -0.3 }, 80)).toBeUndefined();
    expect(reportedAtS(() => 60, { ...hot, slopeCPerS: -0.02 }, 80)).toBeLessThan(60);
  });
});
