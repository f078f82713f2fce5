import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitLinear } from '../../calibration/fit/linear-fit.js';
import {
  fitBeta3,
  fitPolynomial,
  fitSteinhartHart,
  fitTwoPoints,
  studentFactor95,
  thermistorTemperatureC,
} from '../../calibration/index.js';
import { readDocument, readTable } from '../tables/read-table.js';

type Certified = {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly starts?: readonly (readonly [number, number, number])[];
  readonly certified: Readonly<Record<string, number>>;
};

/** Digits that agree with a certified value, as NIST counts them. */
const digits = (mine: number | null | undefined, certified: number | undefined): number =>
  -Math.log10(Math.max(Math.abs((mine as number) / (certified as number) - 1), 1e-16));

describe('NIST StRD linear regression', () => {
  for (const [name, degree] of [
    ['norris', 1],
    ['pontius', 2],
  ] as const) {
    it(`${name}: parameters, their uncertainties and the residual sd to nine digits`, () => {
      const { x, y, certified } = readDocument<Certified>(`least-squares/${name}.json`);
      const fit = fitPolynomial(
        x.map((value, i) => ({ x: value, y: y[i] as number })),
        degree,
      );
      const agreement = Object.values(fit.parameters).flatMap((value, i) => [
        digits(value, certified[`b${i}`]),
        digits(Object.values(fit.standardUncertainties)[i], certified[`sd_b${i}`]),
      ]);
      expect(agreement.length).toBe(2 * (degree + 1));
      expect(Math.min(...agreement)).toBeGreaterThan(9);
      expect(digits(fit.residualStandardDeviation, certified.residual_sd)).toBeGreaterThan(9);
    });
  }
});

describe('the three-parameter thermistor law', () => {
  const { x, y, certified, starts = [] } = readDocument<Certified>('least-squares/mgh10.json');
  const points = x.map((temperatureC, i) => ({ temperatureC, resistanceOhms: y[i] as number }));

  it('NIST StRD MGH10 to nine digits from both certified starts and from none', () => {
    expect(starts.length).toBe(2);
    for (const start of [undefined, ...starts]) {
      const fit = fitBeta3(points, start && { b1: start[0], b2: start[1], b3: start[2] });
      for (const name of ['b1', 'b2', 'b3']) {
        expect(digits(fit.parameters[name], certified[name])).toBeGreaterThan(9);
        expect(digits(fit.standardUncertainties[name], certified[`sd_${name}`])).toBeGreaterThan(9);
      }
      expect(digits(fit.residualStandardDeviation, certified.residual_sd)).toBeGreaterThan(9);
    }
  });

  it('converges from any start over many powers of ten', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -8, max: 4, noNaN: true }),
        fc.double({ min: 1, max: 6, noNaN: true }),
        fc.double({ min: -40, max: 30_000, noNaN: true }),
        (logB1, logB2, b3) => {
          const fit = fitBeta3(points, { b1: 10 ** logB1, b2: 10 ** logB2, b3 });
          return digits(fit.parameters.b2, certified.b2) > 8;
        },
      ),
      { numRuns: 30 },
    );
  });

  it('says what is wrong with points that no law fits', () => {
    expect(() => fitBeta3(points.slice(0, 2))).toThrow(/2 points cannot carry 3 parameters/);
    expect(() => fitBeta3([points[0], points[0], points[1], points[1]] as typeof points)).toThrow(
      /Three different/,
    );
    expect(() => fitBeta3(points.map((p) => ({ ...p, resistanceOhms: -1 })))).toThrow(/above zero/);
  });
});

describe('a straight line with an origin', () => {
  it('the thermometer of JCGM 100 H.3: every published result', () => {
    const rows = readTable('least-squares/gum-h3.csv');
    expect(rows.length).toBe(11);
    const fit = fitPolynomial(
      rows.map((r) => ({ x: Number(r.x), y: Number(r.y) })),
      1,
      20,
    );
    expect(fit.parameters.intercept).toBeCloseTo(-0.1712, 4);
    expect(fit.standardUncertainties.intercept).toBeCloseTo(0.0029, 4);
    expect(fit.parameters.slope).toBeCloseTo(0.00218, 5);
    expect(fit.standardUncertainties.slope).toBeCloseTo(0.00067, 5);
    expect(fit.correlation).toBeCloseTo(-0.93, 3);
    expect(fit.residualStandardDeviation).toBeCloseTo(0.0035, 4);
    expect(fit.predict(30).y).toBeCloseTo(-0.1494, 4);
    expect(fit.predict(30).u).toBeCloseTo(0.0041, 4);
  });

  it('stated uncertainties weigh the points and set the uncertainty of the answer', () => {
    // Two readings of one constant, 1 +- 1 and 4 +- 2: weights 4 to 1 give 1.6, uncertainty 1/sqrt(1.25).
    const fit = fitPolynomial(
      [
        { x: 0, y: 1, u: 1 },
        { x: 0, y: 4, u: 2 },
      ],
      0,
    );
    expect(fit.parameters.c0).toBeCloseTo(1.6, 12);
    expect(fit.standardUncertainties.c0).toBeCloseTo(1 / Math.sqrt(1.25), 12);
    // chi-square = 0.6^2 + (2.4/2)^2 = 1.8 with one degree of freedom.
    expect(fit.birgeRatio).toBeCloseTo(Math.sqrt(1.8), 12);
  });

  it('errors with a common cause are not reduced by averaging', () => {
    const shared = 0.3;
    const own = 0.4;
    const errors = [0, 1, 2, 3].map((i) => [0, 1, 2, 3].map((j) => shared ** 2 + (i === j ? own ** 2 : 0)));
    const fit = fitLinear({ design: [[1], [1], [1], [1]], observed: [1, 2, 3, 4], errors });
    expect(fit.parameters[0]).toBeCloseTo(2.5, 12);
    expect(fit.covariance?.[0]?.[0]).toBeCloseTo(shared ** 2 + own ** 2 / 4, 12);
  });

  it('refuses too few points, points without spread, and uncertainties for some only', () => {
    const line = (points: { x: number; y: number; u?: number }[]) => () => fitPolynomial(points, 1);
    expect(line([{ x: 1, y: 1 }])).toThrow(/1 points cannot carry 2 parameters/);
    expect(
      line([
        { x: 1, y: 1 },
        { x: 1, y: 2 },
      ]),
    ).toThrow(/Only 1 different values/);
    expect(
      line([
        { x: 1, y: 1, u: 1 },
        { x: 2, y: 2 },
      ]),
    ).toThrow(/1 of 2 points/);
    expect(
      line([
        { x: 1, y: 1, u: 0 },
        { x: 2, y: 2, u: 1 },
      ]),
    ).toThrow(/above zero/);
  });
});

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

describe("Student's factor", () => {
  it('is that of JCGM 100, table G.2, 95 %', () => {
    for (const [freedom, factor] of [
      [1, 12.71],
      [2, 4.3],
      [3, 3.18],
      [4, 2.78],
      [5, 2.57],
      [10, 2.23],
      [20, 2.09],
      [50, 2.01],
      [100, 1.984],
    ] as const)
      expect(Math.abs(studentFactor95(freedom) - factor), `${freedom}`).toBeLessThan(0.006);
    expect(studentFactor95(Number.POSITIVE_INFINITY)).toBe(1.96);
  });
});
