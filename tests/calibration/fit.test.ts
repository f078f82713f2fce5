import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitLinear } from '../../calibration/fit/linear-fit.js';
import { fitBeta3, fitPolynomial, studentFactor95 } from '../../calibration/index.js';
import { readDocument, readTable } from '../tables/read-table.js';
import { digits } from './digits-agreed.js';

type Certified = {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly starts?: readonly (readonly [number, number, number])[];
  readonly certified: Readonly<Record<string, number>>;
};

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
