import { expect, test } from 'vitest';
import { Episodes } from '../../../node/link/episode.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const second = (n: number): Reading[] => [
  { probe: 'elbow', readAtMs: asMonotonicMs(n * 1000), result: { kind: 'missing', reason: 'open' } },
];
const numbers = (chunks: readonly (readonly Reading[])[]) =>
  chunks.map((chunk) => (chunk[0]?.readAtMs ?? 0) / 1000);

test('an alert sends the minute before it, then two minutes as they come, then nothing', () => {
  const episodes = new Episodes();
  for (let n = 1; n <= 100; n++) expect(episodes.add(second(n), asMonotonicMs(n * 1000))).toBeUndefined();
  expect(numbers(episodes.begin(asMonotonicMs(100_000)))).toEqual(
    Array.from({ length: 60 }, (_, i) => 41 + i),
  );
  for (let n = 101; n <= 220; n++)
    expect(episodes.add(second(n), asMonotonicMs(n * 1000))).toEqual(second(n));
  expect(episodes.add(second(221), asMonotonicMs(221_000))).toBeUndefined();
});

test('a second alert in between makes it longer and repeats nothing', () => {
  const episodes = new Episodes();
  episodes.begin(asMonotonicMs(0));
  for (let n = 1; n <= 50; n++) episodes.add(second(n), asMonotonicMs(n * 1000));
  expect(episodes.begin(asMonotonicMs(50_000))).toEqual([]);
  expect(episodes.add(second(170), asMonotonicMs(170_000))).toBeDefined();
  expect(episodes.add(second(171), asMonotonicMs(171_000))).toBeUndefined();
});

test('seconds in which nothing was measured are not chunks', () => {
  const episodes = new Episodes();
  episodes.add([], asMonotonicMs(1000));
  expect(episodes.begin(asMonotonicMs(1500))).toEqual([]);
  expect(episodes.add([], asMonotonicMs(2000))).toBeUndefined();
});
