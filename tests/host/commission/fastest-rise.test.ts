import { expect, it } from 'vitest';
import { along, commissioned } from './scripted-trips.js';

/** The elbow rises by 0.4 K/s, then by 0.8, and by 1.5 as it swells beside the gas of a throttle that was closed. */
const trip: Readonly<Record<string, (s: number) => number>> = {
  elbow: along(
    [0, 30],
    [200, 30],
    [230, 42],
    [350, 30],
    [450, 30],
    [480, 54],
    [600, 30],
    [705, 30],
    [719, 51],
    [850, 30],
    [900, 30],
  ),
  gas: along([0, 400], [700, 400], [710, 200], [900, 200]),
  sea: () => 15,
};

it('the file of a commissioning says how fast the elbow rose at most in normal running, a closed throttle aside', () => {
  const { elbow } = commissioned({ untilS: 900, stepMs: 250, isRunning: () => true, reads: trip });
  expect(elbow?.fastestCPerS).toBeCloseTo(0.8, 1);
});
