import { describe, expect, it } from 'vitest';
import { holdAfterGulps, noGulps, stepGulps } from '../../../node/guard/gulps.js';
import { stepPump } from '../../../node/guard/pump-detector.js';
import { type PumpState, pumpAtRest } from '../../../node/guard/pump-state.js';

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
  const learned = cruise(pumpAtRest, 10, () => 0).state;

  it('are an alarm at first, and none once this boat has shown how long they last', () => {
    const first = cruise(learned, 1, () => 2.6);
    expect(first.alarms).toBe(1);
    expect(cruise(first.state, 30, () => 2.6).alarms).toBe(0);
  });

  it('do not hide a loss that stays: an alarm within 4 s at full flow', () => {
    const used = cruise(learned, 5, () => 2.8).state;
    expect(used.gulps.seen).toBe(5);
    expect(cruise(used, 1, (minute) => (minute === 0 ? 7 : 0)).alarms).toBe(1);
    expect(holdAfterGulps(used.gulps, 1)).toBeLessThan(4);
  });

  it('a pressure that stays low after it has come back a little is no gulp', () => {
    let { state } = cruise(learned, 1, () => 0);
    for (let s = 0; s < 300; s += dtS)
      state = stepPump(state, {
        readingKpa: s % 2 < 1 ? 10 : 18,
        phase: 'running',
        gasC: 350,
        gasSlopeCPerS: 0,
        dtS,
      });
    expect(state.gulps.seen).toBe(0);
  });

  /** `forS` seconds at this pressure. */
  const holds = (start: PumpState, kpaAt: (s: number) => number, forS: number) => {
    let state = start;
    for (let s = 0; s < forS; s += dtS)
      state = stepPump(state, {
        readingKpa: kpaAt(s) + 0.1 * Math.sin(9 * s),
        phase: 'running',
        gasC: 350,
        gasSlopeCPerS: 0,
        dtS,
      });
    return state;
  };
  /** A loose clamp: three seconds of air in ten, for an hour. */
  const loose = (s: number) => (s % 10 < 3 ? 4 : 60);

  it('that follow one another as no sea draws them are a warning within a quarter of an hour, and it ends when they do', () => {
    const sick = holds(learned, loose, 900);
    expect(sick.found).toMatchObject({ rule: 'raw-water-in-gulps', priority: 'warning' });
    expect(holds(sick, () => 60, 300).found).toBeUndefined();
    // One a minute, as in the worst seas, is not.
    expect(cruise(cruise(learned, 1, () => 2.6).state, 60, () => 2.6).alarms).toBe(0);
  });

  it('are not learned as normal: half of the impeller is still missed, on a boat that was sick from the first hour too', () => {
    for (const start of [learned, pumpAtRest]) {
      const sick = holds(holds(start, loose, 3600), () => 60, 300);
      expect(sick.found).toBeUndefined();
      expect(holds(sick, () => 15, 20).found?.rule).toMatch(/raw-water-(low|lost)/);
    }
  });

  /** Gulps of so many seconds at this flow, with a second of water after each. */
  const drawn = (flow: number, ...gulpsS: readonly number[]) => {
    let gulps = noGulps;
    for (const lostS of gulpsS) {
      for (let s = 0; s < lostS - 1e-9; s += dtS)
        gulps = stepGulps(gulps, { lost: true, back: false, flow, kpa: 1, dtS });
      gulps = stepGulps(gulps, { lost: false, back: true, flow, kpa: 60, dtS });
    }
    return gulps;
  };

  it('the same air takes three times as long to pass at a third of the flow, and no longer than 6.6 s excuse it', () => {
    const many = drawn(0.9, ...Array(10).fill(1));
    expect(holdAfterGulps(many, 0.9)).toBeCloseTo(1.5 + 0.4, 1);
    expect(holdAfterGulps(many, 0.3)).toBeCloseTo(3 * 1.5 + 0.4, 1);
    expect(holdAfterGulps(drawn(0.9, ...Array(10).fill(2.4)), 0.3)).toBe(6.6);
  });

  it('a pressure that wavers about its threshold, as behind a clogging strainer, is none', () => {
    let gulps = noGulps;
    for (let s = 0; s < 100; s += 2 * dtS) {
      gulps = stepGulps(gulps, { lost: true, back: false, flow: 0.4, kpa: 8, dtS });
      gulps = stepGulps(gulps, { lost: false, back: true, flow: 0.4, kpa: 10, dtS });
    }
    expect(gulps.seen).toBe(0);
  });

  it('after a single one the next may be two and a half times as large', () => {
    expect(holdAfterGulps(drawn(1, 1), 1)).toBeCloseTo(2.5 + 0.4, 1);
  });

  it('more than three seconds of full flow are none, nor is what ends with a closed throttle; it is forgotten over a season', () => {
    expect(holdAfterGulps(drawn(1, 3.4), 1)).toBe(0);
    let closed = stepGulps(noGulps, { lost: true, back: false, flow: 1, kpa: 1, dtS: 2 });
    for (let s = 0; s < 6; s += dtS)
      closed = stepGulps(closed, { lost: false, back: false, flow: 1, kpa: 8, dtS });
    expect(holdAfterGulps(closed, 1)).toBe(0);
    const later = stepGulps(drawn(1, ...Array(10).fill(2)), {
      lost: false,
      back: true,
      flow: 1,
      kpa: 60,
      dtS: 300_000,
    });
    expect(holdAfterGulps(later, 1)).toBeLessThan(1);
  });
});
