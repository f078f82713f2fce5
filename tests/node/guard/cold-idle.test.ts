import { describe, expect, it } from 'vitest';
import type { ElbowBaseline } from '../../../node/guard/baseline.js';
import { hasLeftColdIdle } from '../../../node/guard/cold-idle.js';
import { elbowAtRest, stepElbow } from '../../../node/guard/elbow.js';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { fitBaseline, type NormalSecond } from '../../../node/guard/fit-baseline.js';
import { learnedTuning } from '../../../node/guard/tuning.js';

const seaC = 18;
const steadyGas = (c: number) => ({ a: c, b: c, c });

/** Three trips: five minutes of idling from cold, 4 K above the sea, then load with rises to 40 K while it still warms up. */
const trips = Array.from({ length: 3 }, () =>
  Array.from({ length: 1500 }, (_, i): NormalSecond => {
    const idles = i < 300;
    const sinceStartS = i + 35;
    const swing = idles || sinceStartS > 420 ? 0 : 18 * Math.sin(i / 9);
    const gasC = idles ? 110 : 300;
    return {
      atMs: 1000 * i,
      riseK: (idles ? 4 : 20) + swing + 0.3 * Math.sin(i * 1.7),
      slopeCPerS: 0,
      exhaust: steadyGas(gasC),
      seaC,
      warmS: Math.min(420, sinceStartS),
      sinceStartS,
    };
  }),
).flat();
const learned = fitBaseline(trips, learnedTuning.leadS['strap-on']);

/** A ring on an engine that idles from a cold start and whose elbow warms by 0.1 K/s: when it is reported, s after the start. */
function reportedAfterS(baseline: ElbowBaseline, change: (s: number) => Partial<ElbowView> = () => ({})) {
  let state = elbowAtRest;
  for (let s = 0; s < 600; s++) {
    const view: ElbowView = {
      elbowC: seaC + 4 + 0.1 * s,
      slopeCPerS: 0.1,
      seaC,
      exhaust: steadyGas(s === 0 ? 30 : 110),
      phase: 'running',
      sinceStartS: s,
      warmS: Math.min(420, s),
      sinceThrottledBackS: 600,
      mounting: 'strap-on',
      dtS: 1,
      ...change(s),
    };
    state = stepElbow(state, view, {
      limitC: 82,
      baseline,
      other: undefined,
      twin: undefined,
      tuning: learnedTuning,
    });
    if (state.active) return s;
  }
  return Number.POSITIVE_INFINITY;
}

describe('an engine that idles from a cold start', () => {
  const { coldIdle, ...older } = learned;

  it('is learned apart from the rest of the warm-up', () => {
    expect(coldIdle?.q998K).toBeLessThan(1);
    expect(coldIdle?.highestRiseK).toBeCloseTo(4.3, 1);
    expect(coldIdle?.untilS).toBeCloseTo(334, 0);
    expect(learned.spread['warm-up'].q998K).toBeGreaterThan(10);
  });

  it('without water is reported minutes sooner than by what an older file knows of it', () => {
    // By hand: 0.1 K/s and 2 K of lead pass 3.6 K and what is left of the allowance after a start, 6 K with 40 s, at about 60 s.
    expect(reportedAfterS(learned)).toBeLessThan(80);
    expect(reportedAfterS(older)).toBeGreaterThan(200);
  });

  it('cold starts that were made without water excuse no more than an older file does', () => {
    const sick = { ...older, coldIdle: { q998K: 40, highestRiseK: 45, untilS: 400 } };
    expect(reportedAfterS(sick)).toBeLessThanOrEqual(reportedAfterS(older));
  });

  it('with water is quiet', () => {
    expect(reportedAfterS(learned, () => ({ elbowC: seaC + 4.5, slopeCPerS: 0 }))).toBe(
      Number.POSITIVE_INFINITY,
    );
  });

  it('nothing of it is used of a warm engine, after an opened throttle, or beyond what was met', () => {
    const now = { phase: 'running', exhaust: steadyGas(110), warmS: 50, sinceStartS: 50 } as const;
    const { gasC } = learned;
    expect(hasLeftColdIdle(false, now, gasC)).toBe(false);
    expect(hasLeftColdIdle(false, { ...now, warmS: 200 }, gasC)).toBe(true);
    expect(hasLeftColdIdle(false, { ...now, exhaust: steadyGas(200) }, gasC)).toBe(true);
    const opened = (s: number) => ({ exhaust: s === 0 ? steadyGas(30) : { a: 116, b: 110, c: 108 } });
    expect(reportedAfterS(learned, opened)).toBe(reportedAfterS(learned));
    expect(
      reportedAfterS(learned, (s) => ({ ...opened(s), ...(s < 125 && { elbowC: seaC + 4, slopeCPerS: 0 }) })),
    ).toBeGreaterThan(150);
    expect(hasLeftColdIdle(true, now, gasC)).toBe(true);
    expect(hasLeftColdIdle(true, { ...now, phase: 'stopped' }, gasC)).toBe(false);
    const short = { ...older, coldIdle: { q998K: 0.3, highestRiseK: 4.3, untilS: 36 } };
    expect(reportedAfterS(short)).toBe(reportedAfterS(older));
  });

  it('a guard that wakes beside it takes it for cold only by gas below any that was met', () => {
    const now = { phase: 'running', exhaust: steadyGas(110), warmS: 1, sinceStartS: 1 } as const;
    expect(hasLeftColdIdle(undefined, now, learned.gasC)).toBe(true);
    expect(hasLeftColdIdle(undefined, { ...now, exhaust: steadyGas(40) }, learned.gasC)).toBe(false);
    expect(hasLeftColdIdle(undefined, { ...now, exhaust: undefined }, learned.gasC)).toBeUndefined();
  });
});
