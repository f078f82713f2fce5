import { describe, expect, it } from 'vitest';
import { type EngineState, firstEngineState, stepEngine } from '../../../node/guard/engine.js';

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
