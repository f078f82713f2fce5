import { expect, it } from 'vitest';
import { elbowAtRest, stepElbow } from '../../../node/guard/elbow.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import { reachedByTwoTrips } from '../../../node/guard/two-trips.js';
import { baseline, calm } from './learned-run.js';

const level = { a: 250, b: 250, c: 250 };
const second = (atS: number, riseK: number, slopeCPerS: number, exhaust = level) => ({
  atMs: 1000 * atS,
  riseK,
  slopeCPerS,
  exhaust,
});
/** A trip of a hundred seconds that idles at 10 K, goes once to this rise, and once is this fast for so long. */
const trip = (startsAtS: number, highestK: number, fastestCPerS: number, forS = 3) =>
  Array.from({ length: 100 }, (_, i) =>
    second(startsAtS + i, i === 50 ? highestK : 10, i >= 20 && i < 20 + forS ? fastestCPerS : 0),
  );
const dayS = 86_400;

it('what one trip alone reached is no fact; what two reached is', () => {
  const trips = [trip(0, 30, 0.5), trip(dayS, 55, 2.2), trip(2 * dayS, 33, 0.9), trip(3 * dayS, 28, 0.7)];
  expect(reachedByTwoTrips(trips.flat())).toEqual({ highestRiseK: 33, fastestCPerS: 0.9 });
  expect(reachedByTwoTrips(trips.slice(0, 3).flat())).toBeUndefined();
});

it('weed that comes twice on one trip, with a stop of ten minutes between, is the incident of one trip', () => {
  const weed = [...trip(dayS, 55, 2.2), ...trip(dayS + 700, 54, 2.1)];
  const trips = [trip(0, 30, 0.5), weed, trip(2 * dayS, 33, 0.9), trip(3 * dayS, 28, 0.7)];
  expect(reachedByTwoTrips(trips.flat())).toEqual({ highestRiseK: 33, fastestCPerS: 0.9 });
});

it('a slope of one second is noise or a gulp of air, and that beside a closed throttle is its surge', () => {
  const falls = { a: 200, b: 230, c: 240 };
  const trips = [0, 1, 2, 3].map((day) => [
    ...trip(day * dayS, 30, 0.6),
    ...trip(day * dayS + 100, 30, 3, 1),
    ...[0, 1, 2].map((s) => second(day * dayS + 200 + s, 30, 2, falls)),
  ]);
  expect(reachedByTwoTrips(trips.flat())?.fastestCPerS).toBe(0.6);
});

/**
 * A well whose thermostat opens at once, as a first-order probe shows it: from 10 K over the sea towards 10 K and `stepK`, with 8 s.
 * Its first alert: when, s, and how warm it is then, C; absent where there was none in half a minute.
 */
const opens = (stepK: number, ofTwoTrips: typeof baseline.ofTwoTrips) => {
  const spread = { ...baseline.spread, steady: { q998K: 18, seconds: 1500 } };
  const learned = { ...baseline, highestRiseK: 30, highestLedRiseK: 46, spread };
  let state = elbowAtRest;
  for (let s = 0; s < 30; s += 0.2) {
    const left = Math.exp(-s / 8);
    const view = { ...calm, dtS: 0.2, elbowC: 30 + stepK * (1 - left), slopeCPerS: (stepK / 8) * left };
    state = stepElbow(state, view, {
      limitC: 82,
      baseline: ofTwoTrips ? { ...learned, ofTwoTrips } : learned,
      other: undefined,
      twin: undefined,
      tuning: learnedTuning,
    });
    if (state.active) return { afterS: s, elbowC: view.elbowC };
  }
  return undefined;
};

it('a thermostat that opens as two trips have shown is no alert, however far its first seconds seem to lead', () => {
  // 18 K/8 s is 2.2 K/s at first: the rise over the sea ends at 28 K, where two trips have been.
  expect(opens(18, undefined)).toBeDefined();
  expect(opens(18, { highestRiseK: 30, fastestCPerS: 2 })).toBeUndefined();
});

it('an elbow that goes on beyond where two trips have been is an alert within seconds, and long before its limit', () => {
  // By hand: as fast at first as 90 K would be (11 K/s) or 22 K slower, nothing of it is normal; 34 K are passed within 3 s.
  for (const stepK of [60, 90]) {
    const found = opens(stepK, { highestRiseK: 30, fastestCPerS: 2 });
    expect(found?.afterS).toBeLessThan(6.5);
    expect(found?.elbowC).toBeLessThan(82);
  }
});
