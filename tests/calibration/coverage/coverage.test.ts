import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { combined, coverageFactor95 } from '../../../calibration/budget/coverage-factor.js';
import { isLong, shortOrLong } from '../../long-form.js';
import { whatIf } from './conditions.js';
import { coverageOf } from './coverage.js';

/**
 * In 300 calibrations a true 95 % moves by 1.3 % (one standard deviation), in 2,000 by 0.5 %. `slack` is two of them:
 * a share that truly lies four below its promise fails with a probability of 98 %.
 */
const count = shortOrLong(300, 2_000);
const slack = shortOrLong(0.03, 0.01);
const inShort = [
  'as documented',
  'ice 0 to +0.5 C',
  'wire uses all of class 2, alike over 220 C (0.9 in 100 C)',
];

describe('the stated 95 % interval holds the truth that another hand has drawn', () => {
  for (const { what, probe, promise, twist } of whatIf.filter(
    (row) => row.promise > 0 && (isLong || inShort.includes(row.what)),
  ))
    it(`${probe}, ${what}: at least ${100 * promise} %`, () => {
      const { rows, refused } = coverageOf(probe, twist, count, 2026);
      expect(refused).toBeLessThan(0.01);
      expect(rows.length).toBe(5);
      for (const { temperatureC, held } of rows)
        expect(held, `${temperatureC} C`).toBeGreaterThan(promise - slack);
    }, 1_800_000);

  it('and does not hold it when an assumption is far off, so that this test can fail', () => {
    const { rows } = coverageOf('thermistor', { ice: ({ uniform }) => uniform() }, 150, 2026);
    expect(rows[0]?.held).toBeLessThan(0.7);
  });
});
it('hardware-notes shows every row of the table, as the command prints it', () => {
  const notes = readFileSync('hardware-notes/calibration.md', 'utf8');
  expect(whatIf.length).toBeGreaterThan(20);
  for (const { what, probe } of whatIf) {
    const [, table = ''] = notes.split(`| ${probe}, in ice and boiling water |`);
    const [own = ''] = table.split('\n\n');
    expect(own, `${probe}, ${what}`).toContain(`\n| ${what} | `);
  }
});

describe('the coverage factor', () => {
  const line = (distribution: 'normal' | 'rectangular', standardUncertaintyC: number) => ({
    source: 'x',
    distribution,
    standardUncertaintyC,
  });

  it('is 1.96 for a bell, 1.65 for one rectangle, 1.90 for two equal ones', () => {
    // 1.96: the normal distribution (JCGM 100:2008, table G.1, from memory). The others by hand:
    // 0.95 sqrt(3) = 1.645; the triangle of two equal rectangles gives sqrt(6) (1 - sqrt(0.05)) = 1.902.
    expect(coverageFactor95([line('normal', 0.3)])).toBeCloseTo(1.96, 2);
    expect(Math.abs(coverageFactor95([line('rectangular', 2)]) - 1.645)).toBeLessThan(0.015);
    expect(Math.abs(coverageFactor95([line('rectangular', 1), line('rectangular', 1)]) - 1.902)).toBeLessThan(
      0.01,
    );
  });

  it('moves from rectangle to bell as the bell takes over', () => {
    const factors = [0, 0.3, 1, 3, 30].map((n) =>
      coverageFactor95([line('rectangular', 1), line('normal', n)]),
    );
    expect([...factors].sort((a, b) => a - b)).toEqual(factors);
    expect(factors.at(-1)).toBeCloseTo(1.96, 2);
    expect(combined([line('rectangular', 3), line('normal', 4)])).toBe(5);
  });
});
