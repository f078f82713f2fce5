import { expect, it } from 'vitest';
import { along, commissioned } from './scripted-trips.js';

const everyS = 8000;
const runsForS = 400;
/** How far the elbow rises in the first ten seconds of each start, until its line has filled, K. */
const firstRisesK = [35, 32, 12, 30, 8];
const seaC = 15;

const after = (s: number) => s % everyS;
const elbowC = (s: number) => {
  const riseK = firstRisesK[Math.floor(s / everyS)] ?? 0;
  return after(s) > runsForS ? seaC : seaC + along([0, 0], [10, riseK], [20, 8], [runsForS, 8])(after(s));
};

it('the file of a commissioning says how far cold starts took the elbow before the water came: as far as two of them did', () => {
  const { elbow } = commissioned({
    untilS: firstRisesK.length * everyS,
    stepMs: 1000,
    isRunning: (s) => after(s) < runsForS,
    reads: {
      elbow: elbowC,
      gas: (s) => (after(s) < runsForS ? 120 : 20),
      sea: () => seaC,
    },
  });
  expect(elbow?.coldStartRiseK).toBeGreaterThan(28);
  expect(elbow?.coldStartRiseK).toBeLessThan(33);
});
