import { describe, expect, it } from 'vitest';
import { type ElbowBaseline, expectedRiseK } from '../../../node/guard/baseline.js';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { fitBaseline } from '../../../node/guard/fit-baseline.js';
import { stepLearned } from '../../../node/guard/learned-detector.js';
import { type LearnedState, learnedAtRest } from '../../../node/guard/learned-state.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import { baseline, calm, expectedK, normal, run } from './learned-run.js';

describe('the learned detector', () => {
  it('the fit recovers the law it was made from, within 0.1 K, and is not moved by 3 % of wild rises', () => {
    const spoilt = normal.map((second, i) =>
      i % 33 === 0 ? { ...second, riseK: second.riseK + 40 } : second,
    );
    for (const learned of [baseline, fitBaseline(spoilt, 10)])
      for (const a of [160, 220, 290]) {
        const [k0 = 0, k1 = 0, k2 = 0, k3 = 0, k4 = 0] = learned.coefficients;
        const c = a;
        expect(Math.abs(k0 + (k1 + k2) * a + k3 * c + (k4 * a * a) / 100 - (4 + 0.03 * a))).toBeLessThan(0.1);
      }
  });

  it('refuses to fit fewer than 300 s', () => {
    expect(() => fitBaseline(normal.slice(0, 299), 10)).toThrow(/300 s/);
  });

  it('as learned for ten minutes: silence; 8 K above: a warning within 3 s at a ring and 5 s at a well, which feels gulps of air; 20 K above: an alarm', () => {
    expect(run({}, 0, 600)).toBeUndefined();
    expect(run({ elbowC: 28 + expectedK }, 0, 10)).toMatchObject({
      rule: 'above-learned',
      priority: 'warning',
    });
    expect(run({ elbowC: 28 + expectedK, mounting: 'strap-on' }, 0, 10)?.s).toBeLessThan(3);
    expect(run({ elbowC: 28 + expectedK, mounting: 'well' }, 0, 10)?.s).toBeLessThan(5);
    expect(run({ elbowC: 40 + expectedK }, 0, 4)).toMatchObject({ priority: 'warning' });
  });

  it('what the other engine shows too, up to 3 K, is sea and weather', () => {
    expect(run({ elbowC: 24.5 + expectedK }, 0, 60)).toMatchObject({ rule: 'above-learned' });
    expect(run({ elbowC: 24.5 + expectedK }, 4, 300)).toBeUndefined();
  });

  it('a moment without gas is not the end of a thermostat that is yet to open, nor of soaked-up heat', () => {
    const before = { ...learnedAtRest, coldS: 120, soakK: 9, meanK: -3, surgeOver: true, cusumKS: 4 };
    const { state } = stepLearned(
      before,
      { ...calm, exhaust: undefined },
      baseline,
      undefined,
      learnedTuning,
    );
    expect(state).toMatchObject({ coldS: 120, soakK: 9, meanK: -3, surgeOver: true, cusumKS: 0 });
  });

  it('a gulp of air that takes half of the water for six seconds is quiet at a well; the same rise that does not turn is not', () => {
    const judge = (residuals: readonly number[], change: Partial<ElbowView> = {}) => {
      let state: LearnedState = learnedAtRest;
      return residuals.map((residualK) => {
        const view = { ...calm, elbowC: 20 + expectedK + residualK, dtS: 1, ...change };
        const step = stepLearned(state, view, baseline, undefined, learnedTuning);
        state = step.state;
        return step.finding?.rule;
      });
    };
    const rise = [0, 2, 5, 8, 10.5];
    expect(judge([...rise, 8.5, 6, 3, 1, 0, 0]).filter(Boolean)).toEqual([]);
    expect(judge([...rise, 12, 14]).filter(Boolean)[0]).toBe('above-learned');
    // Within two minutes of a closed throttle, its surge passed, a thermostat may open once more: sooner than 20 K s proves nothing.
    const again = [0, 2, 5, 8, 9, 9.5, 9.5];
    expect(judge(again).findIndex(Boolean)).toBe(5);
    expect(judge(again, { sinceThrottledBackS: 60 }).findIndex(Boolean)).toBe(6);
  });

  it('is off while stopped, unsure, without sea, and for the first 35 s after a start', () => {
    const hot = { elbowC: 60 };
    expect(run({ ...hot, phase: 'stopped' }, 0, 60)).toBeUndefined();
    expect(run({ ...hot, phase: 'unsure' }, 0, 60)).toBeUndefined();
    expect(run({ ...hot, seaC: undefined }, 0, 60)).toBeUndefined();
    expect(run({ ...hot, sinceStartS: 30 }, 0, 60)).toBeUndefined();
  });

  it('with the exhaust gas lost, 4 K above the highest rise ever learned is a warning after 8 s', () => {
    const ceiling = baseline.highestRiseK;
    expect(run({ exhaust: undefined, elbowC: 20 + ceiling + 5 }, 0, 20)).toMatchObject({
      rule: 'above-learned-ceiling',
    });
    expect(run({ exhaust: undefined, elbowC: 20 + ceiling + 3 }, 0, 60)).toBeUndefined();
  });

  it('gas of 25 C on a running engine, learned from 140 C up, is gas lost: a healthy elbow raises nothing, a hot one does', () => {
    const shorted = { a: 25, b: 25, c: 25 };
    expect(baseline.gasC.min).toBeGreaterThan(139);
    expect(run({ exhaust: shorted }, 0, 600)).toBeUndefined();
    const hot = 20 + baseline.highestRiseK + 5;
    expect(run({ exhaust: shorted, elbowC: hot }, 0, 20)).toMatchObject({ rule: 'above-learned-ceiling' });
  });

  it('the sea: learned over a season of 12 K, hardly believed from one week, and never carried beyond what was seen', () => {
    const truth = -0.1;
    const over = (halfRangeK: number) => {
      const seaAt = (i: number) => 18 + halfRangeK * Math.sin(i / 900);
      return fitBaseline(
        normal.map((second, i) => ({
          ...second,
          seaC: seaAt(i),
          riseK: second.riseK + truth * (seaAt(i) - 18),
        })),
        10,
      );
    };
    const gas = { a: 250, b: 250, c: 250 };
    const perK = (b: ElbowBaseline, seaC: number) =>
      (expectedRiseK(b, gas, seaC) - expectedRiseK(b, gas, 18)) / (seaC - 18);
    const season = over(6);
    expect(perK(season, 22)).toBeGreaterThan(-0.12);
    expect(perK(season, 22)).toBeLessThan(-0.05);
    expect(Math.abs(perK(over(0.7), 18.6))).toBeLessThan(0.03);
    expect(expectedRiseK(season, gas, 30)).toBeCloseTo(expectedRiseK(season, gas, season.seaC?.max ?? 0), 9);
  });

  it('a baseline of six coefficients, from before the sea was learned, expects what it expectedK', () => {
    const { seaC: _, ...old } = { ...baseline, coefficients: baseline.coefficients.slice(0, 6) };
    const gas = { a: 250, b: 250, c: 250 };
    expect(expectedRiseK(old, gas, 25)).toBe(expectedRiseK(old, gas, 5));
  });
});
