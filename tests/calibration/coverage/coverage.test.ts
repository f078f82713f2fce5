import { describe, expect, it } from 'vitest';
import { combined, coverageFactor95 } from '../../../calibration/index.js';
import { coverageOf } from './coverage.js';

/** 10,000 calibrations in all; by chance alone a true 95 % moves by 0.3 % (one standard deviation) in 5,000. */
const count = 5000;

describe('the stated 95 % interval holds the truth 94 to 96 times in 100', () => {
  for (const kind of ['thermistor', 'thermocouple'] as const)
    it(`${kind}, ice and boiling water, ${count} random probes on random boats`, () => {
      const rows = coverageOf(kind, 2, count, 2026);
      expect(rows.length).toBe(4);
      for (const { temperatureC, held, errorOverStated } of rows) {
        expect(held, `${temperatureC} C`).toBeGreaterThan(0.94);
        expect(held, `${temperatureC} C`).toBeLessThan(0.96);
        expect(Math.abs(errorOverStated - 1), `${temperatureC} C, rms error over stated`).toBeLessThan(0.04);
      }
    }, 60_000);
});

describe('the coverage factor', () => {
  const line = (distribution: 'normal' | 'rectangular', standardUncertaintyC: number) => ({
    source: 'x',
    distribution,
    standardUncertaintyC,
  });

  it('is 1.96 for a bell, 1.65 for one rectangle, 1.90 for two equal ones', () => {
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
