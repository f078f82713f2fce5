import { afterEach, describe, expect, it } from 'vitest';
import { now } from '../../../host/page/link/stream.js';
import { unit } from '../../../host/page/look/degrees.js';
import { ChartRing } from '../../../host/page/now/chart-ring.js';

afterEach(() => {
  now.value = undefined;
  unit.value = 'C';
});

describe('the ring behind the live chart', () => {
  const row = (probe: string, at: number, value?: number) => ({
    probe,
    at,
    ...(value !== undefined && { value }),
  });

  it('puts rows of one instant at one x, breaks a line at a missing reading and passes over another node', () => {
    const ring = new ChartRing(['a', 'b']);
    ring.add([row('a', 1000, 1), row('b', 1020, 2)]);
    ring.add([row('a', 2000)]);
    ring.add([row('b', 2500, 3)]);
    expect(ring.times).toEqual([1, 2, 2.5]);
    expect(ring.lines).toEqual([
      [1, null, undefined],
      [2, undefined, 3],
    ]);
  });

  it('does not draw a late row backwards', () => {
    const ring = new ChartRing(['a']);
    for (let s = 1; s <= 60; s++) ring.add([row('a', s * 1000, s)]);
    ring.add([row('a', 30_500, 0), row('a', 5_500, 0), row('c', 99_000, 0)]);
    expect(ring.times.length).toBe(60);
  });

  it('puts older readings before those that have arrived since', () => {
    const ring = new ChartRing(['a']);
    ring.add([row('a', 5000, 5)]);
    ring.begin([row('a', 3000, 3), row('a', 4000, 4), row('a', 5000, 99)]);
    expect([ring.times, ring.lines[0]]).toEqual([
      [3, 4, 5],
      [3, 4, 5],
    ]);
  });

  it('stays bounded at 10 Hz for an hour', () => {
    const ring = new ChartRing(['a']);
    for (let i = 0; i < 36_000; i++) ring.add([row('a', i * 100, 1)]);
    expect(ring.times.length).toBeLessThanOrEqual(7_200);
    expect(ring.lines[0]?.length).toBe(ring.times.length);
  });
});
