import { describe, expect, it } from 'vitest';
import { ReadingAge } from '../../../host/live/reading-age.js';

const hourMs = 3_600_000;
const ageOf = (age: ReadingAge, nodeAtMs: number, heardMs: number, boot = 'one', kept = false) => {
  const madeAtMs = age.madeAtMs({ boot, nodeAtMs, kept }, heardMs);
  return madeAtMs === undefined ? undefined : heardMs - madeAtMs;
};

describe('the age of a reading between two clocks', () => {
  it.each([0, -20 * 365 * 24 * hourMs, hourMs])('is 0 over a good wire with the node %d ms off', (offMs) => {
    const age = new ReadingAge();
    for (let s = 0; s < 3_600; s++) expect(ageOf(age, s * 1000 + offMs, s * 1000 + 20)).toBeLessThan(21);
  });

  it('is what the wire lags, and 0 again when it has caught up', () => {
    const age = new ReadingAge();
    for (let s = 0; s < 10; s++) ageOf(age, s * 1000, s * 1000 + 50_000);
    expect(ageOf(age, 10_000, 90_000)).toBeCloseTo(30_000, -2);
    expect(ageOf(age, 89_990, 139_990)).toBeCloseTo(0, -2);
  });

  it('of what a node had kept is not known at first, and is known on a second connection', () => {
    const age = new ReadingAge();
    expect(ageOf(age, 0, 60_000, 'one', true)).toBeUndefined();
    expect(ageOf(age, 60_000, 60_010)).toBe(0);
    expect(ageOf(age, 61_000, 121_010, 'one', true)).toBeCloseTo(60_000, -3);
    expect(ageOf(age, 0, 122_000, 'two', true)).toBeUndefined();
  });

  it('does not grow while two clocks drift apart by 100 parts in a million for a month', () => {
    const age = new ReadingAge();
    let worst = 0;
    for (let s = 0; s < 30 * 86_400; s += 10)
      worst = Math.max(worst, ageOf(age, s * 1000, s * 1000 * (1 + 100e-6)) ?? Number.POSITIVE_INFINITY);
    expect(worst).toBeLessThan(10);
  });
});
