import { expect, it } from 'vitest';
import { elbowAtRest, stepElbow } from '../../../node/guard/elbow.js';
import { fitBaseline } from '../../../node/guard/fit-baseline.js';
import { learnedTuning } from '../../../node/guard/tuning.js';

const seaC = 18;
const steady = (c: number) => ({ a: c, b: c, c });
const gas = steady(90);
/** An engine that idles at 8 K above the sea, and then gives power. */
const baseline = fitBaseline(
  Array.from({ length: 2000 }, (_, i) => ({
    atMs: 1000 * i,
    riseK: 8 + 0.3 * Math.sin(i * 1.7),
    slopeCPerS: 0,
    exhaust: i < 1000 ? gas : steady(300),
    seaC,
    warmS: Math.min(420, i + 35),
    sinceStartS: i + 35,
  })),
  learnedTuning.leadS.well,
);

/** A well that warms by 3 K/s from the sea's temperature until `wetAtS`, then falls: the rise over the sea at its first alert, K. */
const alertedAtRiseK = (coldStartRiseK: number | undefined, wetAtS: number): number | undefined => {
  let state = elbowAtRest;
  for (let s = 0; s < 35; s += 0.2) {
    const [riseK, slopeCPerS] = s < wetAtS ? [3 * s, 3] : [Math.max(8, 3 * wetAtS - 3 * (s - wetAtS)), -3];
    state = stepElbow(
      state,
      {
        elbowC: seaC + riseK,
        slopeCPerS,
        seaC,
        exhaust: s === 0 ? steady(20) : gas,
        phase: 'running',
        sinceStartS: s,
        warmS: s,
        sinceThrottledBackS: 600,
        mounting: 'well',
        dtS: 0.2,
      },
      {
        limitC: 82,
        baseline: { ...baseline, ...(coldStartRiseK !== undefined && { coldStartRiseK }) },
        other: undefined,
        twin: undefined,
        tuning: learnedTuning,
      },
    );
    if (state.active) return riseK;
  }
  return undefined;
};

it('a cold start as dry as this boat’s usual ones is no alert, and on another boat an alarm within ten seconds', () => {
  expect(alertedAtRiseK(undefined, 10)).toBeLessThan(30);
  expect(alertedAtRiseK(30, 10)).toBeUndefined();
});

it('water that does not come is an alert soon after the elbow has passed what such starts reach', () => {
  // By hand: 30 K and 8 K more are passed after 12.7 s; the forecast must then hold for 2 s, 6 K more.
  expect(alertedAtRiseK(30, 35)).toBeGreaterThan(37);
  expect(alertedAtRiseK(30, 35)).toBeLessThan(46);
});

it('no commissioning excuses an elbow within 8 K of its warning limit', () => {
  // 82 C is 64 K above this sea; 56 K are passed at most, then 2 s of the forecast.
  expect(alertedAtRiseK(90, 35)).toBeLessThan(64);
});
