import { describe, expect, it } from 'vitest';
import type { ElbowBaseline } from '../../../node/guard/baseline.js';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import {
  stepTrend,
  type TrendState,
  trendAtRest,
  trendConditions,
} from '../../../node/guard/trend-detector.js';
import { falls, theilSenSlope } from '../../../node/guard/trend-tests.js';

/** An elbow that is 10 K above the sea, whatever the gas. */
const baseline: ElbowBaseline = {
  coefficients: [10, 0, 0, 0, 0, 0],
  gasC: { min: 100, max: 340 },
  highestRiseK: 14,
  twinExhaust: { middleK: 0, spreadK: 4 },
  spread: {
    'warm-up': { q998K: 1, seconds: 600 },
    'falling-fast': { q998K: 1, seconds: 600 },
    falling: { q998K: 1, seconds: 600 },
    steady: { q998K: 1, seconds: 600 },
    rising: { q998K: 1, seconds: 600 },
    'rising-fast': { q998K: 1, seconds: 600 },
  },
};
const probe = {
  id: 'port-elbow',
  name: 'Port elbow',
  engine: 'port',
  place: 'wet-elbow',
  mounting: 'well',
} as const;

const view = (phase: 'running' | 'stopped', riseK: number): ElbowView => ({
  elbowC: 20 + riseK,
  slopeCPerS: 0,
  seaC: 20,
  exhaust: { a: 250, b: 250, c: 250 },
  phase,
  sinceStartS: 3600,
  warmS: 420,
  sinceThrottledBackS: 600,
  mounting: 'well',
  dtS: 1,
});

/** `minutes` of steady running beside a twin that is as it was learned, then a stop. */
function trip(state: TrendState, riseK: number, minutes = 20, twinGasK = 0): TrendState {
  let now = state;
  for (let s = 0; s < minutes * 60; s++)
    now = stepTrend(now, view('running', riseK), baseline, {
      lastMinute: 1,
      sinceMinuteS: 30,
      exhaustC: 250 - twinGasK,
    });
  return stepTrend(now, view('stopped', riseK), baseline, undefined);
}

describe('the slow side', () => {
  it('twenty trips as learned say nothing, and the trip list stays at twenty', () => {
    let state = trendAtRest;
    for (let i = 0; i < 25; i++) state = trip(state, 10 + 0.1 * Math.sin(i));
    expect(trendConditions(probe, state, 'the Port engine')).toEqual([]);
    expect(state.trips).toHaveLength(20);
  });

  it('a tenth less water than the twin (rise 11.1 for 10 K) is reported within three trips', () => {
    let state = trendAtRest;
    let trips = 0;
    while (trendConditions(probe, state, 'the Port engine').length === 0 && trips < 10) {
      state = trip(state, 11.1);
      trips++;
    }
    expect(trips).toBeLessThanOrEqual(3);
    expect(trendConditions(probe, state, 'the Port engine')).toMatchObject([
      { rule: 'less-water-than-twin', priority: 'caution' },
    ]);
  });

  it('exhaust gas 16 K hotter than the twin’s, with 4 K usual, is reported within three trips', () => {
    let state = trendAtRest;
    for (let i = 0; i < 3; i++) state = trip(state, 10, 20, 16);
    expect(trendConditions(probe, state, 'the Port engine')).toMatchObject([
      { situation: 'load', rule: 'hotter-than-twin' },
    ]);
  });

  it('cooling that fades by 1 % a trip is reported by the trend when there is no twin', () => {
    let state = trendAtRest;
    for (let i = 0; i < 12; i++) {
      for (let s = 0; s < 600; s++)
        state = stepTrend(state, view('running', 10 / (1 - 0.01 * i)), baseline, undefined);
      state = stepTrend(state, view('stopped', 10), baseline, undefined);
    }
    expect(trendConditions(probe, state, 'the Port engine')).toMatchObject([{ rule: 'cooling-fades' }]);
  });

  it('a trip with fewer than five steady minutes says nothing', () => {
    expect(trip(trendAtRest, 20, 4).trips).toEqual([]);
  });

  it('ten falling values of ten: Kendall S = -45, sd 11.18, z = -3.94, so it falls; a see-saw does not', () => {
    expect(falls([10, 9, 8, 7, 6, 5, 4, 3, 2, 1])).toBe(true);
    expect(falls([5, 6, 5, 6, 5, 6, 5, 6, 5, 6])).toBe(false);
    expect(falls([3, 2, 1])).toBe(false);
    expect(theilSenSlope([1, 3, 5, 100, 9])).toBe(2);
  });
});
