import { describe, expect, it } from 'vitest';
import { mayPrimeForS, neverPrimed, primedAfter } from '../../../node/guard/priming.js';

const startsOf = (...startsS: readonly number[]) => startsS.reduce(primedAfter, neverPrimed);

describe('how long a pump may take to prime', () => {
  it('is 12 s until six starts have shown what this boat needs', () => {
    expect(mayPrimeForS(startsOf(1, 1, 1, 1, 1), false)).toBe(12);
    expect(mayPrimeForS(startsOf(1, 1, 1, 1, 1, 1), false)).toBe(5);
  });

  it('is then twice its longest, never less than 5 s and never more than 25', () => {
    expect(mayPrimeForS(startsOf(1, 1, 1, 1, 1, 4), false)).toBe(8);
    expect(mayPrimeForS(startsOf(1, 1, 1, 1, 1, 9), false)).toBe(18);
    expect(mayPrimeForS(startsOf(1, 1, 1, 1, 1, 20), false)).toBe(25);
  });

  it('learns nothing from a start whose seacock was opened after the alarm', () => {
    expect(mayPrimeForS(startsOf(1, 1, 1, 1, 1, 1, 40), false)).toBe(5);
    expect(mayPrimeForS(startsOf(40, 40, 40, 40, 40, 40), false)).toBe(12);
  });

  it('is 12 s at least where some pressure shows that water is on its way', () => {
    expect(mayPrimeForS(startsOf(1, 1, 1, 1, 1, 1), true)).toBe(12);
    expect(mayPrimeForS(startsOf(1, 1, 1, 1, 1, 9), true)).toBe(18);
  });

  it('a single slow start is forgotten over many quick ones', () => {
    expect(mayPrimeForS(startsOf(6, ...Array(40).fill(1)), false)).toBe(5);
  });
});
