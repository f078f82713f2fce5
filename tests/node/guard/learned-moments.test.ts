import { describe, expect, it } from 'vitest';
import { expectedRiseK } from '../../../node/guard/baseline.js';
import { stepLearned } from '../../../node/guard/learned-detector.js';
import { type LearnedState, learnedAtRest } from '../../../node/guard/learned-state.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { OtherElbow } from '../../../node/guard/unsteady-threshold.js';
import { baseline, calm, expectedK, run } from './learned-run.js';

describe('the learned detector while gas or a thermostat moves the elbow', () => {
  it('unsteady and 12 K above: quiet within the led rises of normal running, unless a twin driven alike is not above too', () => {
    const gas = { a: 200, b: 210, c: 280 };
    const { afterSurgeK: _, ...older } = baseline;
    const learned = { ...older, highestLedRiseK: 30 };
    const elbowC = 20 + 4 + 0.03 * 200 + 12;
    const judged = (exhaust: typeof gas | undefined, residualK: number, c = elbowC) =>
      run({ exhaust: gas, elbowC: c }, undefined, 60, {
        learned,
        ...(exhaust && { other: { meanK: 0, residualK, exhaust } }),
      });
    expect(judged(undefined, 0)).toBeUndefined();
    expect(judged(gas, 12)).toBeUndefined();
    expect(judged({ ...gas, a: 300 }, 0)).toBeUndefined();
    expect(judged(gas, 0)).toMatchObject({ rule: 'above-learned' });
    expect(judged(gas, 12, 20 + 36)).toMatchObject({ rule: 'above-learned' });
    expect(judged(undefined, 0, 20 + 36)).toMatchObject({ rule: 'above-learned' });
  });

  it('while the gas falls and no surge holds it up, an elbow is judged by what was learned of just that', () => {
    const change = { exhaust: { a: 200, b: 204, c: 230 }, elbowC: 20 + 4 + 0.03 * 200 + 7, slopeCPerS: 0.01 };
    const learned = { ...baseline, highestLedRiseK: 30 };
    const judged = (afterSurgeK: number, sinceThrottledBackS: number) =>
      run({ ...change, sinceThrottledBackS }, undefined, 60, { learned: { ...learned, afterSurgeK } });
    expect(judged(1, 300)).toMatchObject({ rule: 'above-learned' });
    expect(judged(6, 300)).toBeUndefined();
    expect(judged(1, 60)).toBeUndefined();
    // A throttle that is opened again while the slow memory still falls warms an elbow as any opened one does.
    const opened = { ...change, exhaust: { a: 210, b: 204, c: 230 }, sinceThrottledBackS: 300 };
    expect(run(opened, undefined, 60, { learned: { ...learned, afterSurgeK: 1 } })).toBeUndefined();
    expect(
      run({ ...opened, elbowC: 20 + 36 }, undefined, 60, { learned: { ...learned, afterSurgeK: 1 } }),
    ).toMatchObject({
      rule: 'above-learned',
    });
    // The surge has passed sooner where the elbow has been seen to be as learned, and not to rise.
    let state: LearnedState = learnedAtRest;
    const rules = [0, 7].flatMap((aboveK) =>
      Array.from({ length: 100 }, () => {
        const elbowC = 20 + 4 + 0.03 * 200 + aboveK;
        const view = { ...calm, ...change, elbowC, slopeCPerS: 0, sinceThrottledBackS: 60 };
        const step = stepLearned(state, view, { ...learned, afterSurgeK: 1 }, undefined, learnedTuning);
        state = step.state;
        return step.finding?.rule;
      }),
    );
    expect(rules.indexOf('above-learned')).toBeGreaterThan(99);
  });

  it('a surge of warm water after a closed throttle is quiet for two minutes, and beyond the highest normal rise never', () => {
    const learned = { ...baseline, highestLedRiseK: 30 };
    const surge = (sinceThrottledBackS: number, riseK: number) =>
      run({ sinceThrottledBackS, elbowC: 20 + riseK, slopeCPerS: 0.8 }, undefined, 20, { learned });
    expect(surge(60, 25)).toBeUndefined();
    expect(surge(121, 25)).toMatchObject({ rule: 'above-learned' });
    expect(surge(60, 36)).toMatchObject({ rule: 'above-learned' });
  });

  it('a surge 4 K beyond the highest normal rise passes its top within 8 s and is quiet; one that stays is not', () => {
    const learned = { ...baseline, highestLedRiseK: 30 };
    const surge = (forS: number) =>
      run({ sinceThrottledBackS: 60, elbowC: 20 + 35 }, undefined, forS, { learned });
    expect(surge(8)).toBeUndefined();
    expect(surge(20)).toMatchObject({ rule: 'above-learned' });
  });

  it('a thermostat that opens at steady load on an engine that was 3 K too cold until then is quiet, as is a full loss not', () => {
    const learned = { ...baseline, highestLedRiseK: 30 };
    let state: LearnedState = learnedAtRest;
    const judge = (sinceStartS: number, residualK: number) => {
      const elbowC = 20 + expectedK + residualK;
      const step = stepLearned(
        state,
        { ...calm, sinceStartS, elbowC, dtS: 1, mounting: 'strap-on' },
        learned,
        undefined,
        learnedTuning,
      );
      state = step.state;
      return step.finding?.rule;
    };
    for (let s = 500; s < 600; s++) expect(judge(s, -3)).toBeUndefined();
    const cold = state;
    for (let s = 600; s < 640; s++) expect(judge(s, 9)).toBeUndefined();
    state = cold;
    const rules = Array.from({ length: 20 }, (_, i) => judge(600 + i, 2 * i));
    expect(rules.indexOf('above-learned')).toBeGreaterThan(0);
    // From twenty minutes after the start an elbow that is 3 K too cold is taken for what it is: a boat with more water.
    state = cold;
    for (let s = 1300; s < 1500; s++) judge(s, -3);
    const late = Array.from({ length: 10 }, (_, i) => judge(1500 + i, 9));
    expect(late).toContain('above-learned');
  });

  it('7 K above for two minutes while only the slow memory of the gas rises: a warning beside a twin that is as learned', () => {
    const exhaust = { a: 250, b: 249, c: 225 };
    const learned = { ...baseline, highestLedRiseK: 40 };
    const elbowC = 20 + expectedRiseK(baseline, exhaust, 20) + 7;
    const ruleBeside = (other: OtherElbow | undefined) =>
      run({ exhaust, elbowC, sinceStartS: 1300 }, undefined, 150, { learned, ...(other && { other }) })?.rule;
    expect(ruleBeside({ meanK: 0, residualK: 0, exhaust })).toBe('above-learned-steady');
    expect(ruleBeside({ meanK: 7, residualK: 7, exhaust })).toBeUndefined();
    expect(ruleBeside(undefined)).toBeUndefined();
  });

  it('the same within 20 minutes of the start, when a thermostat may open: 9 K above', () => {
    const exhaust = { a: 250, b: 249, c: 225 };
    const spread = { ...baseline.spread, rising: { q998K: 4, seconds: 500 } };
    const learned = { ...baseline, highestLedRiseK: 40, spread };
    const other = { meanK: 0, residualK: 0, exhaust };
    const ruleOf = (aboveK: number) =>
      run(
        { exhaust, elbowC: 20 + expectedRiseK(baseline, exhaust, 20) + aboveK, sinceStartS: 700 },
        undefined,
        150,
        {
          learned,
          other,
        },
      )?.rule;
    expect(ruleOf(6.5)).toBeUndefined();
    expect(ruleOf(9)).toBe('above-learned-steady');
  });

  it('a mean that is too high must last a minute where the thermostat hunts by 2 K and more, half of one where it does not', () => {
    const raisedS = (steadyMeanK: number) =>
      run({ elbowC: 24.5 + expectedK }, undefined, 300, {
        learned: {
          ...baseline,
          steadyMeanK,
          spread: { ...baseline.spread, steady: { q998K: 3.5, seconds: 1 } },
        },
      })?.s;
    const hunts = raisedS(2.1) ?? 0;
    const calmS = raisedS(1.9) ?? 0;
    expect(calmS).toBeGreaterThan(85);
    expect(hunts - calmS).toBeGreaterThan(28);
    expect(hunts - calmS).toBeLessThan(40);
  });

  it('on a cold engine a thermostat may open before its twin’s, as far as gas that rises ever moved this elbow', () => {
    const exhaust = { a: 300, b: 296, c: 240 };
    const wide = { q998K: 8, seconds: 500 };
    const learned = { ...baseline, highestLedRiseK: 40, spread: { ...baseline.spread, 'rising-fast': wide } };
    const other = { meanK: 0, residualK: -1, exhaust };
    const elbowC = 20 + expectedRiseK(baseline, exhaust, 20) + 15;
    const cold = { exhaust, elbowC, warmS: 350, sinceStartS: 350, mounting: 'strap-on' as const };
    expect(run(cold, undefined, 20, { learned, other })).toBeUndefined();
    expect(run(cold, undefined, 20, { learned: { ...learned, spread: baseline.spread }, other })?.rule).toBe(
      'above-learned',
    );
  });
});
