import { describe, expect, it } from 'vitest';
import { type ElbowBaseline, expectedRiseK } from '../../../node/guard/baseline.js';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { type EngineState, firstEngineState, stepEngine } from '../../../node/guard/engine.js';
import { type ExhaustMemory, isIdling, stepExhaustMemory } from '../../../node/guard/exhaust-memory.js';
import { isExplained, isWithinNormal } from '../../../node/guard/explained-rise.js';
import { fitBaseline, type NormalSecond } from '../../../node/guard/fit-baseline.js';
import { clearedLatch, stepLatch } from '../../../node/guard/latch.js';
import { stepLearned } from '../../../node/guard/learned-detector.js';
import { type LearnedState, learnedAtRest } from '../../../node/guard/learned-state.js';
import { plainAtRest, stepPlain } from '../../../node/guard/plain-detector.js';
import { firstRunState, stepRunning } from '../../../node/guard/running.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { OtherElbow } from '../../../node/guard/unsteady-threshold.js';

const calm: ElbowView = {
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

/** Seconds until the plain detector reports a view that stays so, and what it says. */
function plainAfter(view: ElbowView, withinS = 30) {
  let state = plainAtRest;
  for (let s = 0.1; s <= withinS; s += 0.1) {
    const step = stepPlain(state, view, 82);
    if (step.finding)
      return { s: Math.round(s * 10) / 10, rule: step.finding.rule, priority: step.finding.priority };
    state = step.state;
  }
  return undefined;
}

describe('the plain detector', () => {
  it.each([
    ['10 K above the sea and still', {}, undefined],
    ['1.9 K/s at a well', { slopeCPerS: 1.9, elbowC: 32 }, { rule: 'fast-rise', priority: 'warning' }],
    [
      '1.3 K/s at a well, as when the thermostat of a small engine opens',
      { slopeCPerS: 1.3, elbowC: 32 },
      undefined,
    ],
    ['1.3 K/s at a well 26 K above the sea', { slopeCPerS: 1.3, elbowC: 46 }, { rule: 'fast-rise' }],
    [
      '0.9 K/s at a ring',
      { slopeCPerS: 0.9, elbowC: 32, mounting: 'strap-on' as const },
      { rule: 'fast-rise', priority: 'warning' },
    ],
    ['1.1 K/s at a well, as when a thermostat opens', { slopeCPerS: 1.1, elbowC: 32 }, undefined],
    [
      '30 K above the sea at 250 C of gas (limit 29.75) for 8 s',
      { elbowC: 50 },
      { rule: 'rise-over-sea', priority: 'warning' },
    ],
    ['42 K above the sea', { elbowC: 62 }, { rule: 'rise-over-sea', priority: 'alarm' }],
    [
      '0.5 K/s at a ring at 63 C: 82 C in 38 s',
      { slopeCPerS: 0.5, elbowC: 63, mounting: 'strap-on' as const },
      { rule: 'limit-soon', priority: 'alarm' },
    ],
    ['the same, stopped', { slopeCPerS: 0.5, elbowC: 63, phase: 'stopped' as const }, undefined],
    ['30 K above the sea, cooling after a hot restart', { elbowC: 50, slopeCPerS: -0.3 }, undefined],
    [
      '30 K above the sea, unsure, with the gas of a soaked manifold',
      { elbowC: 50, phase: 'unsure' as const, exhaust: { a: 170, b: 160, c: 150 } },
      undefined,
    ],
    [
      '30 K above the sea, unsure, with 250 C of gas',
      { elbowC: 50, phase: 'unsure' as const },
      { rule: 'rise-over-sea' },
    ],
    ['1.3 K/s without a sea probe', { seaC: undefined, slopeCPerS: 1.3 }, { rule: 'fast-rise' }],
  ])('%s', (_, change, expected) => {
    const found = plainAfter({ ...calm, ...change });
    if (expected === undefined) expect(found).toBeUndefined();
    else expect(found).toMatchObject(expected);
  });

  it('a well that warms by 1.1 K/s is not foreseen at its limit from 50 C, as a ring is; from 60 C it is', () => {
    const warms = { ...calm, slopeCPerS: 1.1, elbowC: 50, seaC: 30 };
    expect(plainAfter(warms)).toBeUndefined();
    expect(plainAfter({ ...warms, mounting: 'strap-on' })).toMatchObject({ rule: 'limit-soon', s: 2 });
    expect(plainAfter({ ...warms, elbowC: 60 })).toMatchObject({ rule: 'limit-soon', s: 2 });
    // Commissioned, and not explained by what was learned, it is, as soon as it was.
    const held = { ...plainAtRest, soonS: 2 };
    expect(stepPlain(held, warms, 82).finding).toBeUndefined();
    expect(stepPlain(held, warms, 82, { highestRiseK: 18 }).finding?.rule).toBe('limit-soon');
  });

  it('holds: 3 s for the rate at a ring and 4 s at a well, 8 s for the rise, 2 s for the time to the limit', () => {
    expect(plainAfter({ ...calm, slopeCPerS: 0.9, elbowC: 32, mounting: 'strap-on' })?.s).toBeCloseTo(3, 0);
    expect(plainAfter({ ...calm, slopeCPerS: 1.9, elbowC: 32 })?.s).toBeCloseTo(4, 0);
    expect(plainAfter({ ...calm, elbowC: 50 })?.s).toBeCloseTo(8, 0);
    expect(plainAfter({ ...calm, slopeCPerS: 0.5, elbowC: 63, mounting: 'strap-on' })?.s).toBeCloseTo(2, 0);
  });
});

/** Normal running of an elbow that follows 4 K + 0.03 K per C of gas, with a ripple of 0.3 K. */
const normal = Array.from({ length: 6000 }, (_, i): NormalSecond => {
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
const baseline: ElbowBaseline = fitBaseline(normal, 10);

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

  /** Another elbow that has lately been, and now is, this far above what was learned of it. */
  const otherAt = (k: number | undefined): OtherElbow | undefined =>
    k === undefined ? undefined : { meanK: k, residualK: k, exhaust: calm.exhaust };

  const expected = 4 + 0.03 * 250;
  const run = (
    change: Partial<ElbowView>,
    otherK: number | undefined,
    forS: number,
    { other = otherAt(otherK), learned = baseline }: { other?: OtherElbow; learned?: ElbowBaseline } = {},
  ) => {
    let state: LearnedState = learnedAtRest;
    for (let s = 0.1; s <= forS; s += 0.1) {
      const step = stepLearned(
        state,
        { ...calm, elbowC: 20 + expected, ...change },
        learned,
        other,
        learnedTuning,
      );
      state = step.state;
      if (step.finding) return { s, ...step.finding };
    }
    return undefined;
  };

  it('as learned for ten minutes: silence; 8 K above: a warning within 3 s at a ring and 5 s at a well, which feels gulps of air; 20 K above: an alarm', () => {
    expect(run({}, 0, 600)).toBeUndefined();
    expect(run({ elbowC: 28 + expected }, 0, 10)).toMatchObject({
      rule: 'above-learned',
      priority: 'warning',
    });
    expect(run({ elbowC: 28 + expected, mounting: 'strap-on' }, 0, 10)?.s).toBeLessThan(3);
    expect(run({ elbowC: 28 + expected, mounting: 'well' }, 0, 10)?.s).toBeLessThan(5);
    expect(run({ elbowC: 40 + expected }, 0, 4)).toMatchObject({ priority: 'warning' });
  });

  it('what the other engine shows too, up to 3 K, is sea and weather', () => {
    expect(run({ elbowC: 24.5 + expected }, 0, 60)).toMatchObject({ rule: 'above-learned' });
    expect(run({ elbowC: 24.5 + expected }, 4, 300)).toBeUndefined();
  });

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
      const elbowC = 20 + expected + residualK;
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

  it('gas that rises explains an elbow that rises to where it was learned to be, and no more than that', () => {
    const opened = { ...calm, slopeCPerS: 0.85, exhaust: { a: 260, b: 225, c: 266 } };
    const isAt = expectedRiseK(baseline, opened.exhaust, 20);
    expect(isExplained({ ...opened, elbowC: 20 + isAt - 8.5 }, baseline, learnedTuning)).toBe(true);
    expect(isExplained({ ...opened, elbowC: 20 + isAt + 2 }, baseline, learnedTuning)).toBe(false);
    const steady = { ...opened, exhaust: calm.exhaust, elbowC: 20 + expected - 8.5 };
    expect(isExplained(steady, baseline, learnedTuning)).toBe(false);
  });

  it('where it was in normal running an elbow may rise fast, as when a thermostat opens, but not as fast as with a lost pump', () => {
    const opens = { ...calm, elbowC: 20 + baseline.highestRiseK, slopeCPerS: 1 };
    expect(isWithinNormal(opens, baseline)).toBe(true);
    expect(isWithinNormal({ ...opens, slopeCPerS: 1.6 }, baseline)).toBe(false);
    // On a boat that does so in normal running it is normal, unless weed in one trip made it so.
    expect(isWithinNormal({ ...opens, slopeCPerS: 1.7 }, { ...baseline, fastestCPerS: 1.4 })).toBe(true);
    expect(isWithinNormal({ ...opens, slopeCPerS: 1.77 }, { ...baseline, fastestCPerS: 1.4 })).toBe(false);
    expect(isWithinNormal({ ...opens, slopeCPerS: 1.9 }, { ...baseline, fastestCPerS: 3 })).toBe(false);
    const spread = { ...baseline.spread, steady: { q998K: 18, seconds: 1500 } };
    expect(isWithinNormal(opens, { ...baseline, spread })).toBe(false);
    expect(isWithinNormal({ ...opens, elbowC: opens.elbowC + 5 }, baseline)).toBe(false);
    expect(isWithinNormal({ ...opens, seaC: undefined }, baseline)).toBe(false);
    // What was learned cannot judge it then: gas lost, its probe fallen out, or an engine that only may run.
    const coldC = baseline.gasC.min - 20;
    for (const unknown of [
      // The coolant of an engine started cold cannot be what comes.
      { warmS: 60 },
      { exhaust: undefined },
      { exhaust: { a: coldC, b: coldC, c: coldC } },
      { phase: 'unsure' as const },
    ])
      expect(isWithinNormal({ ...opens, ...unknown }, baseline)).toBe(false);
  });

  it('gas of a probe that has fallen out is not that of an idling engine', () => {
    const gas = (a: number) => ({ a, b: a, c: a });
    expect(isIdling(gas(baseline.gasC.min), baseline.gasC)).toBe(true);
    expect(isIdling(gas(40), baseline.gasC)).toBe(false);
    expect(isIdling(gas(150), undefined)).toBe(true);
    expect(isIdling(gas(40), undefined)).toBe(false);
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
      run({ elbowC: 24.5 + expected }, undefined, 300, {
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
        const view = { ...calm, elbowC: 20 + expected + residualK, dtS: 1, ...change };
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

  it('a baseline of six coefficients, from before the sea was learned, expects what it expected', () => {
    const { seaC: _, ...old } = { ...baseline, coefficients: baseline.coefficients.slice(0, 6) };
    const gas = { a: 250, b: 250, c: 250 };
    expect(expectedRiseK(old, gas, 25)).toBe(expectedRiseK(old, gas, 5));
  });
});

describe('the memory of the gas', () => {
  it('outlasts ten seconds without it: what rose two minutes ago still has', () => {
    const sign = { wired: true, input: true, elbow: undefined, learnedMaxC: undefined, dtS: 0.2 };
    const through = (state: EngineState, forS: number, exhaustC: number | undefined) => {
      let next = state;
      for (let s = 0; s < forS; s += 0.2) next = stepEngine(next, { ...sign, exhaustC });
      return next;
    };
    const opened = through(through(firstEngineState, 600, 150), 30, 320);
    const kept = through(opened, 10, 320).exhaust;
    const away = through(opened, 10, undefined);
    expect(away.exhaust).toBeUndefined();
    const back = through(away, 0.2, 320).exhaust;
    // As if it had been read all the while, but for the reading that came late.
    for (const one of ['a', 'b', 'c'] as const) expect(back?.[one]).toBeCloseTo(kept?.[one] ?? 0, -1);
    expect((back?.a ?? 0) - (back?.c ?? 0)).toBeGreaterThan(40);
  });
});

describe('the running state', () => {
  const step = (forS: number, input: boolean | undefined, a: number, c: number, wired = true) => {
    let state = firstRunState;
    for (let s = 0; s < forS; s++)
      state = stepRunning(state, { wired, input, exhaust: { a, b: a, c }, dtS: 1 });
    return state;
  };
  it.each([
    ['no input wired', step(10, undefined, 250, 250, false), { phase: 'unsure' }],
    ['input not known yet', step(10, undefined, 250, 250), { phase: 'unsure' }],
    ['input on', step(10, true, 250, 250), { phase: 'running', disagreement: undefined }],
    ['input off, gas cold', step(200, false, 40, 40), { phase: 'stopped', disagreement: undefined }],
    [
      'input off, gas falling after a stop',
      step(200, false, 230, 250),
      { phase: 'stopped', disagreement: undefined },
    ],
    [
      'input stuck off while 250 C of gas stays for 90 s',
      step(100, false, 250, 250),
      { phase: 'running', disagreement: 'stuck-off' },
    ],
    [
      'input on, gas cold for 15 min',
      step(901, true, 30, 30),
      { phase: 'running', disagreement: 'stuck-on' },
    ],
  ])('%s', (_, state, expected) => {
    expect(state).toMatchObject(expected);
  });
});

describe('a running input that says stopped', () => {
  type Moment = { readonly input?: boolean; readonly elbowC?: number; readonly gasC?: number };
  /** Steps through an hour of moments, with the slope as the elbow has it. */
  const through = (forS: number, at: (s: number) => Moment, from = firstRunState) => {
    let state = from;
    let exhaust: ExhaustMemory | undefined;
    let deniedAtS: number | undefined;
    for (let s = 1; s <= forS; s++) {
      const { input = false, elbowC = 25, gasC } = at(s);
      const slopeCPerS = elbowC - (at(s - 1).elbowC ?? 25);
      if (gasC !== undefined) exhaust = stepExhaustMemory(exhaust, gasC, 1);
      const elbow = { elbowC, slopeCPerS, limitC: 82 };
      state = stepRunning(state, { wired: true, input, exhaust, elbow, dtS: 1 });
      if (state.disagreement === 'stuck-off') deniedAtS ??= s;
    }
    return { state, deniedAtS };
  };
  /** Runs for 100 s at 38 C; then heat soaks in, 40 K with a time constant of 200 s, and goes with an hour's. */
  const soak = (s: number) => 38 + 40 * (1 - Math.exp(-s / 200)) * Math.exp(-s / 3600);
  const stopped = (s: number): Moment => ({
    input: s <= 100,
    elbowC: s <= 100 ? 38 : soak(s - 100),
    gasC: s <= 100 ? 320 : 60 + 260 * Math.exp(-(s - 100) / 600),
  });

  it('is believed through a heat soak of 40 K and the hour after it, also from a burst of gas', () => {
    expect(through(7200, stopped).state).toMatchObject({ phase: 'stopped', disagreement: undefined });
    const burst = (s: number) => (s < 60 ? 150 : s <= 100 ? 450 : 60 + 390 * Math.exp(-(s - 100) / 300));
    const after = through(3600, (s) => ({ ...stopped(s), gasC: burst(s) }));
    expect(after.deniedAtS).toBeUndefined();
  });

  it('is not believed once the elbow is warmer than any sun makes it: 55 C, and nothing of a stop before', () => {
    const { state, deniedAtS } = through(400, (s) => ({ elbowC: 30 + Math.max(0, s - 100) * 0.1 }));
    expect(state).toMatchObject({ phase: 'unsure', disagreement: 'stuck-off', deniedBy: 'elbow' });
    expect(deniedAtS).toBeGreaterThan(350);
    expect(deniedAtS).toBeLessThan(365);
  });

  it('is not believed when the elbow rises by 0.4 K/s three minutes after the stop, or by 0.7 K/s sooner: no heat soak does', () => {
    const broken = (fromS: number, cPerS: number) => (s: number) => ({
      input: s <= 100,
      elbowC: 38 + Math.max(0, s - fromS) * cPerS,
    });
    expect(through(340, broken(300, 0.4)).deniedAtS).toBe(305);
    // But the riser of a small engine does while its gas falls.
    const cools = (s: number) => ({
      ...broken(300, 0.4)(s),
      gasC: s <= 100 ? 400 : 60 + 340 * Math.exp((100 - s) / 600),
    });
    expect(through(340, cools).deniedAtS).toBeUndefined();
    expect(through(340, (s) => ({ ...cools(s), ...broken(300, 0.7)(s) })).deniedAtS).toBe(305);
    expect(through(240, broken(200, 0.7)).deniedAtS).toBe(205);
  });

  it('is believed beside the heaviest manifold: 0.35 K/s at first, and 50 K in five minutes', () => {
    const heavy = (s: number) => ({
      input: s <= 100,
      elbowC: s <= 100 ? 41 : 41 + 52 * (1 - Math.exp(-(s - 100) / 148)),
    });
    expect(through(900, heavy).deniedAtS).toBeUndefined();
  });

  it('lost under way: five minutes without heat soak, and a slow rise to 55 C is not taken for one', () => {
    const broken = (s: number): Moment => ({ input: s <= 100, elbowC: 38 + Math.max(0, s - 500) * 0.05 });
    expect(through(1200, broken).deniedAtS).toBeCloseTo(500 + 17 / 0.05 + 10, -1);
  });

  it('is not believed when the gas rises: a start in cold water is known within a minute', () => {
    const cold = (s: number): Moment => ({ gasC: s <= 60 ? 20 : 20 + 110 * (1 - Math.exp(-(s - 60) / 20)) });
    const { state, deniedAtS } = through(300, cold);
    expect(deniedAtS).toBeLessThan(90);
    expect(state).toMatchObject({ phase: 'unsure', deniedBy: 'gas' });
  });

  it('is believed after a stop from wide open whose manifold warms the gas by 45 K, and again once that is cold', () => {
    const warmed = (s: number): Moment => {
      const t = s - 100;
      const soakedC = 205 + 45 * Math.sin(Math.min(t / 180, 1) * (Math.PI / 2));
      return {
        input: s <= 100,
        gasC: t <= 0 ? 205 : t <= 180 ? soakedC : 30 + 220 * Math.exp(-(t - 180) / 1200),
      };
    };
    expect(through(160, warmed).state).toMatchObject({ phase: 'stopped', disagreement: undefined });
    expect(through(3600, warmed).state).toMatchObject({ phase: 'stopped', disagreement: undefined });
  });

  it.each([8, 13, 22, 40, 60])(
    'is believed after a stop though metal that cools in %i min keeps the gas probe warm, first rising to it',
    (coolsInMin) => {
      // Idle before the stop: the probe at 190 C comes up to metal at 320 C with 80 s, which then cools.
      const metal = (t: number) => 30 + 290 * Math.exp(-t / (60 * coolsInMin));
      const warm = (s: number): Moment => {
        const t = s - 100;
        const gasC = t <= 0 ? 190 : metal(t) - 130 * Math.exp(-t / 80);
        return { input: s <= 100, elbowC: t <= 0 ? 38 : soak(t), gasC };
      };
      expect(through(4 * 3600, warm).deniedAtS).toBeUndefined();
    },
  );

  it('lost under way at steady gas: known within 15 s of the throttle’s next opening, else after half an hour', () => {
    const opened = (s: number): Moment => ({
      input: s <= 100,
      elbowC: 38,
      gasC: s <= 600 ? 230 : 230 + 120 * (1 - Math.exp(-(s - 600) / 5)),
    });
    expect(through(700, opened).deniedAtS).toBeLessThan(615);
    const steady = through(2400, (s) => ({ input: s <= 100, elbowC: 38, gasC: 280 }));
    expect(steady.deniedAtS).toBeGreaterThan(100 + 1800);
    expect(steady.deniedAtS).toBeLessThan(100 + 1800 + 95);
  });

  it('an input that was never seen to work is not believed against steady hot gas for longer than 90 s', () => {
    expect(through(200, () => ({ elbowC: 38, gasC: 280 })).deniedAtS).toBeLessThan(95);
  });

  it('stays doubted at idle, and is believed again once it has said running', () => {
    const idle = through(600, (s) => ({ gasC: s < 300 ? 260 : 130 }));
    expect(idle.state).toMatchObject({ phase: 'unsure', disagreement: 'stuck-off' });
    const works = stepRunning(idle.state, { wired: true, input: true, exhaust: undefined, dtS: 1 });
    expect(works).toMatchObject({ phase: 'running', disagreement: undefined, deniedBy: undefined });
  });
});

describe('a limit with hold', () => {
  const limit = { raiseAt: 75, clearAt: 72, holdS: 2 };
  const through = (values: readonly number[]) =>
    values.reduce((latch, v) => stepLatch(latch, v, limit, 0.1), clearedLatch);
  const many = (value: number, n: number) => new Array<number>(n).fill(value);

  it('75 C for 2 s raises, 1.9 s does not, 74.9 C never does', () => {
    expect(through(many(75, 21)).on).toBe(true);
    expect(through(many(75, 20)).on).toBe(false);
    expect(through(many(74.9, 500)).on).toBe(false);
  });

  it('between 72 and 75 it keeps its mind; two values below 72 clear it, one does not', () => {
    const on = through(many(80, 30));
    expect(stepLatch(on, 72.5, limit, 0.1).on).toBe(true);
    expect(stepLatch(on, 60, limit, 0.1).on).toBe(true);
    expect(stepLatch(stepLatch(on, 60, limit, 0.1), 60, limit, 0.1).on).toBe(false);
  });

  it('one low spike does not restart the hold, and with a hold of zero one high spike raises nothing', () => {
    expect(through([...many(80, 10), 20, ...many(80, 10)]).on).toBe(true);
    expect(stepLatch(clearedLatch, 200, { ...limit, holdS: 0 }, 0.1).on).toBe(false);
  });
});
