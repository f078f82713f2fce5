import { describe, expect, it } from 'vitest';
import { timeTicks, valueTicks } from '../../../host/page/chart/ticks.js';

describe('ticks of a chart', () => {
  it.each([
    [0, 80, 6, [0, 20, 40, 60, 80]],
    [32, 212, 5, [50, 100, 150, 200]],
    [-3, 1, 5, [-3, -2, -1, 0, 1]],
    [0, 0.5, 6, [0, 0.1, 0.2, 0.3, 0.4, 0.5]],
  ])('from %d to %d are round numbers, at most %d steps', (low, high, most, ticks) => {
    expect(valueTicks(low, high, most)).toEqual(ticks);
  });

  it('of ten minutes are whole minutes, of a year first days of months, by the local calendar', () => {
    const from = new Date(2026, 5, 1, 10, 1, 30).getTime() / 1000;
    const minutes = timeTicks(from, from + 600, 8).map(({ at }) => new Date(at * 1000));
    expect(minutes.map((date) => date.getSeconds())).toEqual(minutes.map(() => 0));
    expect(minutes.map((date) => date.getMinutes() % 2)).toEqual(minutes.map(() => 0));
    expect(minutes.length).toBe(5);
    const year = timeTicks(from, from + 365 * 86_400, 14).map(({ at }) => new Date(at * 1000));
    expect(year.map((date) => [date.getDate(), date.getHours()])).toEqual(year.map(() => [1, 0]));
    expect(year.length).toBe(12);
  });

  it('of days are midnights, also over a change of the clocks', () => {
    const from = new Date(2026, 9, 20, 12).getTime() / 1000;
    const days = timeTicks(from, from + 10 * 86_400, 12).map(({ at }) => new Date(at * 1000).getHours());
    expect(days).toEqual(Array.from({ length: 10 }, () => 0));
  });
});
