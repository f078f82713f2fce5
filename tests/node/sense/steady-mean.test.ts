import fc from 'fast-check';
import { expect, test } from 'vitest';
import { steadyMean } from '../../../node/input/steady-mean.js';

test('the mean of five counts has finer steps than one, and their noise is reported', () => {
  expect(steadyMean([500, 501, 500, 501, 501])).toEqual({
    mean: 500.6,
    noise: expect.closeTo(Math.sqrt(0.3), 12),
    kept: 5,
    strays: 0,
  });
});

test('one count that a damaged byte made does not move it', () => {
  expect(steadyMean([500, 501, 884, 500, 501])).toMatchObject({ mean: 500.5, kept: 4, strays: 1 });
  expect(steadyMean([500, 884])).toMatchObject({ mean: 500, strays: 1 });
  expect(steadyMean([884])).toMatchObject({ mean: 884, strays: 0 });
});

test('whatever comes, it lies between the smallest and the largest, and nothing is uncounted', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 1023 }), { minLength: 1, maxLength: 30 }), (counts) => {
      const { mean, kept, strays } = steadyMean(counts);
      return mean >= Math.min(...counts) && mean <= Math.max(...counts) && kept + strays === counts.length;
    }),
  );
});
