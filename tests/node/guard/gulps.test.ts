import { describe, expect, it } from 'vitest';
import { holdAfterGulps, noGulps, stepGulps } from '../../../node/guard/gulps.js';
import { type PumpState, pumpAtRest, stepPump } from '../../../node/guard/pump-detector.js';

const dtS = 0.2;
/** One pump at cruise: 60 kPa, gas at 350 C; `lostS` of each minute it gives next to nothing. */
function cruise(start: PumpState, minutes: number, lostS: (minute: number) => number) {
  let state = start;
  let alarms = 0;
  for (let minute = 0; minute < minutes; minute++)
    for (let s = 0; s < 60; s += dtS) {
      const lost = s >= 30 && s < 30 + lostS(minute);
      const was = state.found;
      state = stepPump(state, {
        // The last digit of a converter moves.
        readingKpa: (lost ? 1 : 60) + 0.1 * Math.sin(9 * s),
        phase: 'running',
        gasC: 350,
        gasSlopeCPerS: 0,
        dtS,
      });
      if (state.found && !was) alarms++;
    }
  return { state, alarms };
}

describe('gulps of air', () => {
  const learnt = cruise(pumpAtRest, 10, () => 0).state;

  it('are an alarm at first, and none once this boat has shown how long they last', () => {
    const first = cruise(learnt, 1, () => 2.6);
    expect(first.alarms).toBe(1);
    expect(cruise(first.state, 30, () => 2.6).alarms).toBe(0);
  });

  it('do not hide a loss that stays: an alarm within 7 s', () => {
    const used = cruise(learnt, 5, () => 4.8).state;
    expect(cruise(used, 1, (minute) => (minute === 0 ? 7 : 0)).alarms).toBe(1);
    expect(holdAfterGulps(used.gulps ?? noGulps)).toBeLessThan(6.7);
  });

  it('a loss of more than five seconds is none, and what was learnt is forgotten over a season', () => {
    const gulpOf = (lostS: number) => {
      let gulps = noGulps;
      for (let s = 0; s < lostS; s += dtS) gulps = stepGulps(gulps, true, dtS);
      return stepGulps(gulps, false, dtS);
    };
    expect(holdAfterGulps(gulpOf(6))).toBe(0);
    const short = gulpOf(3);
    expect(holdAfterGulps(short)).toBeCloseTo(1.25 * 3 + 0.4, 1);
    expect(holdAfterGulps(stepGulps(short, false, 300_000))).toBeLessThan(1.4);
  });
});
