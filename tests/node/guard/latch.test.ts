import { describe, expect, it } from 'vitest';
import { clearedLatch, stepLatch } from '../../../node/guard/latch.js';

describe('a limit with hold', () => {
  const limit = { raiseAt: 75, clearAt: 72, holdS: 2 };
  const through = (values: readonly number[]) =>
    values.reduce((latch, v) => stepLatch(latch, v, limit, 0.1), clearedLatch);
  const many = (value: number, n: number) => new Array<number>(n).fill(value);

  it('75 C for 2 s raises, 1.9 s does not, 74.9 C never does', () => {
    expect(through(many(75, 21)).on).toBe(true);
    expect(through(many(75, 20)).on).toBe(false);
    expect(through(many(74.9, 500)).on).toBe(false);
  });

  it('between 72 and 75 it stays as it is; two values below 72 clear it, one does not', () => {
    const on = through(many(80, 30));
    expect(stepLatch(on, 72.5, limit, 0.1).on).toBe(true);
    expect(stepLatch(on, 60, limit, 0.1).on).toBe(true);
    expect(stepLatch(stepLatch(on, 60, limit, 0.1), 60, limit, 0.1).on).toBe(false);
  });

  it('one low spike does not restart the hold, and with a hold of zero one high spike raises nothing', () => {
    expect(through([...many(80, 10), 20, ...many(80, 10)]).on).toBe(true);
    expect(stepLatch(clearedLatch, 200, { ...limit, holdS: 0 }, 0.1).on).toBe(false);
  });
});
