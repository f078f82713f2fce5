import { afterEach, beforeEach, vi } from 'vitest';
import type { AnalogInput } from '../../../node/bus/analog-input.js';
import { asMonotonicMs, asWallMs, type Clock } from '../../../node/time/clock.js';

export const clock: Clock = { monotonicMs: () => asMonotonicMs(Date.now()), wallMs: () => asWallMs(0) };
/** Time that the test moves, in the file that calls this. */
export const withFakeTime = (): void => {
  beforeEach(() => void vi.useFakeTimers({ now: 0 }));
  afterEach(() => void vi.useRealTimers());
};
export const pass = (ms: number) => vi.advanceTimersByTimeAsync(ms);

/** An analogue input whose counts the test gives. */
export const wire = () => {
  let say: (counts: number) => void = () => {};
  const input: AnalogInput = {
    fullScaleCounts: 1023,
    onCounts: (listener) => {
      say = listener;
    },
  };
  return { input, say: (counts: number) => say(counts) };
};
