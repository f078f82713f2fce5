import { describe, expect, it } from 'vitest';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import type { NormalSecond } from '../../../node/guard/fit-baseline.js';
import { boundedRiseK, normalBounds } from '../../../node/guard/normal-bounds.js';
import { plainAtRest, stepPlain } from '../../../node/guard/plain-detector.js';

const steadyGas = (c: number) => ({ a: c, b: c, c });
const second = (gasC: number, riseK: number): NormalSecond => ({
  atMs: 0,
  riseK,
  slopeCPerS: 0,
  exhaust: steadyGas(gasC),
  seaC: 15,
  warmS: 420,
  sinceStartS: 1000,
});
const seconds = (count: number, gasC: number, riseK: number) =>
  Array.from({ length: count }, () => second(gasC, riseK));
const gasC = { min: 100, max: 400 };

describe('bounds of normal running', () => {
  it('are what lasted for eight seconds, by gas, and never fall as the gas rises', () => {
    const sailed = [
      ...seconds(60, 110, 12),
      ...seconds(60, 220, 30),
      ...seconds(5, 220, 60),
      ...seconds(60, 220, 30),
      ...seconds(60, 390, 25),
    ];
    const bounds = normalBounds(sailed, gasC);
    expect(boundedRiseK(bounds, steadyGas(110))).toBe(12);
    expect(boundedRiseK(bounds, steadyGas(220))).toBe(30);
    expect(boundedRiseK(bounds, steadyGas(390))).toBe(30);
    expect(boundedRiseK(bounds, steadyGas(500))).toBe(30);
    expect(boundedRiseK(bounds, { a: 110, b: 150, c: 220 })).toBe(30);
  });

  it('know nothing below or between what was met but the colder', () => {
    expect(boundedRiseK(normalBounds(seconds(60, 250, 20), gasC), steadyGas(120))).toBe(0);
  });
});

describe('an elbow that commissioning refused to arm', () => {
  const bounds = normalBounds([...seconds(60, 110, 15), ...seconds(60, 300, 45)], gasC);
  /** The first second at which a rise over a sea of 15 C is reported, and the rule. */
  const reported = (riseAt: (s: number) => number, gas: number, known: boolean) => {
    let state = plainAtRest;
    for (let s = 0; s < 120; s += 0.2) {
      const view: ElbowView = {
        elbowC: 15 + riseAt(s),
        slopeCPerS: (riseAt(s) - riseAt(s - 0.2)) / 0.2,
        seaC: 15,
        exhaust: steadyGas(gas),
        phase: 'running',
        sinceStartS: 1000 + s,
        warmS: 420,
        sinceThrottledBackS: 600,
        mounting: 'well',
        dtS: 0.2,
      };
      const judged = stepPlain(state, view, 82, known ? { bounds } : {});
      state = judged.state;
      if (judged.finding) return { s, rule: judged.finding.rule };
    }
    return undefined;
  };

  it('is not reported where it ran in commissioning, as the fixed limit of the rise does', () => {
    expect(reported(() => 45, 300, false)?.rule).toBe('rise-over-sea');
    expect(reported(() => 45, 300, true)).toBeUndefined();
    expect(reported(() => 54, 300, true)?.rule).toBe('rise-over-sea');
  });

  it('is reported at idle by what idling showed, and not by what full load did', () => {
    expect(reported(() => 30, 110, true)?.rule).toBe('rise-over-sea');
  });

  it('that loses its water at cruise is reported within 15 s of its first rise, and two seconds later than without bounds at most', () => {
    const dry = (s: number) => 30 + 1.7 * s;
    const [before, after] = [reported(dry, 300, false), reported(dry, 300, true)];
    expect(after?.s).toBeLessThan(15);
    expect((after?.s ?? 99) - (before?.s ?? 0)).toBeLessThan(2);
  });

  it('is never allowed more than the standard warning limit, whatever was met', () => {
    const wild = normalBounds(seconds(60, 300, 90), gasC);
    const view = { elbowC: 84, slopeCPerS: 0, seaC: 15, exhaust: steadyGas(300), phase: 'running' } as const;
    const rest = {
      sinceStartS: 1000,
      warmS: 420,
      sinceThrottledBackS: 600,
      mounting: 'well',
      dtS: 10,
    } as const;
    expect(stepPlain(plainAtRest, { ...view, ...rest }, 95, { bounds: wild }).finding?.rule).toBe(
      'rise-over-sea',
    );
  });
});
