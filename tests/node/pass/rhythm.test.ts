import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Rhythm } from '../../../node/pass/rhythm.js';
import { asMonotonicMs, asWallMs, type Clock } from '../../../node/time/clock.js';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

/** A clock that follows the fake timers, and can be set ahead of them as a stalled event loop would find it. */
const rig = () => {
  let aheadMs = 0;
  const start = Date.now();
  const clock: Clock = {
    monotonicMs: () => asMonotonicMs(Date.now() - start + aheadMs),
    wallMs: () => asWallMs(0),
  };
  const passes: number[] = [];
  const errors: unknown[] = [];
  let work: () => void = () => {};
  const rhythm = new Rhythm(
    100,
    () => {
      passes.push(clock.monotonicMs());
      work();
    },
    clock,
    (error) => errors.push(error),
  );
  return {
    rhythm,
    passes,
    errors,
    stall: (ms: number) => {
      aheadMs += ms;
    },
    do: (what: () => void) => {
      work = what;
    },
  };
};

test('a pass every 100 ms, without drift when passes take time', () => {
  const { passes, rhythm } = rig();
  vi.advanceTimersByTime(1000);
  rhythm.stop();
  expect(passes).toEqual([100, 200, 300, 400, 500, 600, 700, 800, 900, 1000]);
});

test('after a stall of 10 s it continues from there, and does not beat a hundred times to make up', () => {
  const { passes, stall, rhythm } = rig();
  vi.advanceTimersByTime(250);
  stall(10_000);
  vi.advanceTimersByTime(300);
  rhythm.stop();
  expect(passes).toEqual([100, 200, 10_300, 10_400, 10_500]);
});

test('a pass that throws is reported and the next one still comes', () => {
  const { passes, errors, rhythm, do: work } = rig();
  work(() => {
    if (passes.length === 1) throw new Error('bad pass');
  });
  vi.advanceTimersByTime(300);
  rhythm.stop();
  expect(passes).toHaveLength(3);
  expect(errors).toEqual([new Error('bad pass')]);
});

test('a pass that stops the rhythm is the last', () => {
  const { passes, rhythm, do: work } = rig();
  work(() => rhythm.stop());
  vi.advanceTimersByTime(500);
  expect(passes).toHaveLength(1);
});
