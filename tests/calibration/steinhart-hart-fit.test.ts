import { describe, expect, it } from 'vitest';
import { fitSteinhartHart, fitTwoPoints, thermistorTemperatureC } from '../../calibration/index.js';
import { readDocument, readTable } from '../tables/read-table.js';
import { digits } from './digits-agreed.js';

describe('Steinhart-Hart through points', () => {
  const semitec = readTable('thermistors/semitec-103at-2.csv').map((r) => ({
    temperatureC: Number(r.temp_c),
    resistanceOhms: Number(r.resistance_ohm),
  }));

  it('103AT-2: four terms pass all 33 rows within 0.0232 C, three within 0.0756 C', () => {
    expect(semitec.length).toBe(33);
    const worst = (terms: 3 | 4) =>
      Math.max(...fitSteinhartHart(semitec, terms).residuals.map((r) => Math.abs(r)));
    // Computed independently with numpy's lstsq on the same rows, weighed so that residuals are degrees.
    expect(worst(4)).toBeCloseTo(0.0232, 4);
    expect(worst(3)).toBeCloseTo(0.0756, 4);
  });

  it('three published calibrations: solving their points returns the ten printed digits', () => {
    const { steinhart_hart_examples } = readDocument<{
      steinhart_hart_examples: {
        items: { points: { t_c: number; r_ohm: number }[]; A: number; B: number; C: number }[];
      };
    }>('thermistors/equations.json');
    expect(steinhart_hart_examples.items.length).toBe(3);
    for (const item of steinhart_hart_examples.items) {
      const fit = fitSteinhartHart(
        item.points.map((p) => ({ temperatureC: p.t_c, resistanceOhms: p.r_ohm })),
        3,
      );
      for (const name of ['A', 'B', 'C'] as const)
        expect(digits(fit.parameters[name], item[name])).toBeGreaterThan(9);
      expect(fit.standardUncertainties.A).toBeNull();
    }
  });

  it('the stated uncertainty of the points comes back at the points when they carry just as many parameters', () => {
    const points = [0, 50, 100].map((temperatureC, i) => ({
      ...(semitec.find((p) => p.temperatureC === temperatureC) as (typeof semitec)[number]),
      u: 0.1 * (i + 1),
    }));
    const fit = fitSteinhartHart(points, 3);
    for (const p of points) {
      expect(fit.predict(p.resistanceOhms).temperatureC).toBeCloseTo(p.temperatureC, 6);
      expect(fit.predict(p.resistanceOhms).u).toBeCloseTo(p.u, 6);
    }
    expect(thermistorTemperatureC(fit.law, 10_000)).toBeCloseTo(25, 1);
  });
});

describe('a thermistor through two points', () => {
  it('stays within its own uncertainty between and beside them, for three published tables and one equation; a beta is 0.7 C off', () => {
    const tables = [
      ['vishay-ntcle100e3-103', 'resistance_ohm', 1],
      ['semitec-103at-2', 'resistance_ohm', 1],
      ['amphenol-material-1', 'ratio_rt_r25', 10_000],
    ] as const;
    let worstC = 0;
    let worstBetaC = 0;
    for (const [table, column, ohms] of tables) {
      const points = readTable(`thermistors/${table}.csv`).map((r) => ({
        temperatureC: Number(r.temp_c),
        resistanceOhms: Number(r[column]) * ohms,
      }));
      const at = (c: number) => points.find((p) => p.temperatureC === c) as (typeof points)[number];
      const two = [at(0), at(100)].map((p) => ({ ...p, u: 0.02 }));
      const fit = fitTwoPoints(two);
      const beta = fitSteinhartHart(two, 2);
      for (const { temperatureC, resistanceOhms } of points.filter(
        (p) => p.temperatureC >= 0 && p.temperatureC <= 110,
      )) {
        const { temperatureC: foundC, u } = fit.predict(resistanceOhms);
        expect(Math.abs(foundC - temperatureC), `${table} ${temperatureC} C`).toBeLessThan(
          1.96 * (u as number) + 0.02,
        );
        worstC = Math.max(worstC, Math.abs(foundC - temperatureC));
        worstBetaC = Math.max(worstBetaC, Math.abs(beta.predict(resistanceOhms).temperatureC - temperatureC));
      }
    }
    expect(worstBetaC).toBeGreaterThan(0.7);
    expect(worstC).toBeLessThan(0.35);
  });

  it('refuses one point, and columns that are swapped', () => {
    expect(() => fitTwoPoints([{ temperatureC: 25, resistanceOhms: 10_000 }])).toThrow(/two points/);
    expect(() =>
      fitTwoPoints([
        { temperatureC: 0, resistanceOhms: 700 },
        { temperatureC: 100, resistanceOhms: 33_000 },
      ]),
    ).toThrow(/swapped/);
  });
});
