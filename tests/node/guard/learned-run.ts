import type { ElbowBaseline } from '../../../node/guard/baseline.js';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { fitBaseline, type NormalSecond } from '../../../node/guard/fit-baseline.js';
import { stepLearned } from '../../../node/guard/learned-detector.js';
import { type LearnedState, learnedAtRest } from '../../../node/guard/learned-state.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { OtherElbow } from '../../../node/guard/unsteady-threshold.js';

export const calm: ElbowView = {
  elbowC: 30,
  slopeCPerS: 0,
  seaC: 20,
  exhaust: { a: 250, b: 250, c: 250 },
  phase: 'running',
  sinceStartS: 1000,
  warmS: 420,
  sinceThrottledBackS: 600,
  mounting: 'well',
  dtS: 0.1,
};

/** Normal running of an elbow that follows 4 K + 0.03 K per C of gas, with a ripple of 0.3 K. */
export const normal = Array.from({ length: 6000 }, (_, i): NormalSecond => {
  const a = 220 + 80 * Math.sin(i / 300);
  const c = 220 + 80 * Math.sin((i - 60) / 300);
  return {
    riseK: 4 + 0.03 * a + 0.3 * Math.sin(i * 1.7),
    slopeCPerS: 0,
    exhaust: { a, b: a, c },
    seaC: 18,
    warmS: i < 1000 ? Math.min(420, i + 35) : 420,
    atMs: 1000 * i,
    sinceStartS: i + 35,
  };
});
export const baseline: ElbowBaseline = fitBaseline(normal, 10);

/** Another elbow that has lately been, and now is, this far above what was learned of it. */
export const otherAt = (k: number | undefined): OtherElbow | undefined =>
  k === undefined ? undefined : { meanK: k, residualK: k, exhaust: calm.exhaust };

/** What was learned of the gas of `calm`, K. */
export const expectedK = 4 + 0.03 * 250;
/** Runs the learned detector with this view for so long; gives the first finding and when it came, s. */
export const run = (
  change: Partial<ElbowView>,
  otherK: number | undefined,
  forS: number,
  { other = otherAt(otherK), learned = baseline }: { other?: OtherElbow; learned?: ElbowBaseline } = {},
) => {
  let state: LearnedState = learnedAtRest;
  for (let s = 0.1; s <= forS; s += 0.1) {
    const step = stepLearned(
      state,
      { ...calm, elbowC: 20 + expectedK, ...change },
      learned,
      other,
      learnedTuning,
    );
    state = step.state;
    if (step.finding) return { s, ...step.finding };
  }
  return undefined;
};
