import { describe, expect, it } from 'vitest';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { fitBaseline, type NormalSecond } from '../../../node/guard/fit-baseline.js';
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

describe('an incident on one trip, weed or a bag', () => {
  const apartMs = 24 * 3_600_000;
  /** Six days, each a minute at 220 C of gas that lasted at one of these rises, K. */
  const days = (risesK: readonly number[], slopeCPerS = 0) =>
    risesK.flatMap((riseK, day) =>
      seconds(60, 220, riseK).map((one, s) => ({ ...one, slopeCPerS, atMs: day * apartMs + 1000 * s })),
    );

  it('is no part of normal running: two trips must have reached a bound', () => {
    const gas = steadyGas(220);
    expect(boundedRiseK(normalBounds(days([30, 32, 70, 31, 33, 29]), gasC), gas)).toBe(33);
    expect(boundedRiseK(normalBounds(days([30, 70, 30]), gasC), gas)).toBe(70);
  });

  it('gas that one trip alone met counts with 6 K more than the colder gas did', () => {
    const fullLoadOnce = [
      ...days([30, 32, 31, 33]),
      ...seconds(60, 390, 80).map((one, s) => ({ ...one, atMs: 9 * apartMs + 1000 * s })),
    ];
    expect(boundedRiseK(normalBounds(fullLoadOnce, gasC), steadyGas(390))).toBe(32 + 6);
  });

  it('lifts the highest rise that the learned detector knows by 6 K at the most, and an ordinary day is kept whole', () => {
    const fitted = (risesK: readonly number[]) =>
      fitBaseline(
        days(risesK).map((one, i) => ({ ...one, exhaust: steadyGas(200 + (i % 60)) })),
        10,
      );
    expect(fitted([30, 32, 70, 31, 33, 29]).highestRiseK).toBe(39);
    expect(fitted([30, 32, 35, 31, 33, 29])).toMatchObject({ highestRiseK: 35, highestLedRiseK: 35 });
  });

  it('nor does a start with the seacock shut, among five others, lift what is known of cold starts', () => {
    const trip = (idleK: number, day: number) =>
      Array.from({ length: 265 }, (_, s) => {
        const idles = s < 165;
        const gas = idles ? 120 : 250 + (s % 50);
        const sinceStartS = 35 + s;
        const atMs = day * apartMs + 1000 * s;
        return { ...second(gas, idles ? idleK : 20), atMs, sinceStartS, warmS: sinceStartS };
      });
    const coldIdleK = (risesK: readonly number[]) =>
      fitBaseline(risesK.flatMap(trip), 10).coldIdle?.highestRiseK;
    expect(coldIdleK([4, 5, 60, 4, 3, 5])).toBe(5 + 6);
    expect(coldIdleK([4, 5, 8, 4, 3, 5])).toBe(8);
  });

  it('an elbow that its water cools after a hot restart is not what its bounds are of', () => {
    const bounds = normalBounds([...days([30, 30, 30, 30]), ...days([60, 60, 60, 60], -0.3)], gasC);
    expect(boundedRiseK(bounds, steadyGas(220))).toBe(30);
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
