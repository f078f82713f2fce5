import { describe, expect, it } from 'vitest';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { plainAtRest, stepPlain } from '../../../node/guard/plain-detector.js';
import { calm } from './learned-run.js';

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
