import { expect, it } from 'vitest';
import { along, commissioned } from './scripted-trips.js';

const everyS = 2500;
const runsForS = 500;
const seaC = 15;
/** How far the thermostat takes the elbow above its 10 K, within half a minute, on each of five trips; the fourth met weed. */
const opensK = [15, 24, 18, 60, 12];

const after = (s: number) => s % everyS;
const elbowC = (s: number) => {
  const stepK = opensK[Math.floor(s / everyS)] ?? 0;
  if (after(s) > runsForS) return seaC;
  return seaC + 10 + along([0, 0], [300, 0], [330, stepK], [400, stepK], [450, 0], [runsForS, 0])(after(s));
};

it('the file of a commissioning says how far and how fast two trips took the elbow, and not what weed did on one', () => {
  const { elbow } = commissioned({
    untilS: opensK.length * everyS,
    stepMs: 1000,
    isRunning: (s) => after(s) < runsForS,
    reads: { elbow: elbowC, gas: (s) => (after(s) < runsForS ? 120 : 20), sea: () => seaC },
  });
  // 24 K in 30 s, above 10 K.
  expect(elbow?.ofTwoTrips?.highestRiseK).toBeCloseTo(34, 0);
  expect(elbow?.ofTwoTrips?.fastestCPerS).toBeCloseTo(0.8, 1);
});
