import { describe, expect, it, test } from 'vitest';
import {
  certifiedPressure,
  hoseKpa,
  issuePressureCertificate,
  parsePressureCertificate,
} from '../../../calibration/index.js';
import { calibratePressure } from '../../../calibration/pressure/calibrate-pressure.js';
import { normalGravity, waterDensity, waterKpa } from '../../../calibration/pressure/water-column.js';

/** Tanaka et al. 2001, table of recommended densities (from memory of the paper's table), kg/m3. */
test.each([
  [0, 999.843],
  [4, 999.975],
  [10, 999.703],
  [20, 998.207],
  [30, 995.649],
  [40, 992.215],
])('water at %d C weighs %d kg/m3', (celsius, density) => {
  expect(Math.abs(waterDensity(celsius) - density)).toBeLessThan(6e-4);
});

/** Moritz, Geodetic Reference System 1980: normal gravity at equator, 45 degrees and pole. */
test.each([
  [0, 9.7803267715],
  [45, 9.8061992],
  [-90, 9.8321863685],
])('normal gravity at latitude %d is %d m/s2', (latitude, gravity) => {
  expect(normalGravity(latitude)).toBeCloseTo(gravity, 7);
});

test('a metre of fresh water at 20 C is 9.79 kPa, and 9.78 in air', () => {
  const column = { heightM: 1, waterC: 20, latitudeDeg: 45 };
  expect(waterKpa(column)).toBeCloseTo(9.79, 2);
  // By hand: 998.207 kg/m3 times 9.80620 m/s2 is 9.7886 kPa; air of 1.2 kg/m3 beside the hose takes its own weight off.
  expect(hoseKpa(column)).toBeCloseTo(9.7886 - 1.2 * 0.0098062, 3);
});

/** A true line with a zero and a span of its own, read at the given heights. */
const made = (heights: readonly number[], { zeroVolts = 0.52, kpaPerVolt = 51, slipM = 0 } = {}) => ({
  waterC: 18,
  latitudeDeg: 50,
  fullScaleKpa: 200,
  points: heights.map((heightM, i) => ({
    heightM,
    volts:
      zeroVolts +
      hoseKpa({ heightM: heightM + (i === 1 ? slipM : 0), waterC: 18, latitudeDeg: 50 }) / kpaPerVolt,
    scatterVolts: 0.003,
    readings: 50,
  })),
});

describe('a calibration with hose and rule', () => {
  it('finds the true line of the transducer', () => {
    const { offsetKpa, kpaPerVolt, residualsKpa } = calibratePressure(made([0, 0.5, 1, 1.5, 2]));
    expect(kpaPerVolt).toBeCloseTo(51, 6);
    expect(offsetKpa).toBeCloseTo(-51 * 0.52, 6);
    expect(Math.max(...residualsKpa.map(Math.abs))).toBeLessThan(1e-9);
  });

  it('covers the truth: 1,000 sessions with errors drawn from the stated limits, at 10 and 60 kPa', () => {
    let state = 4711;
    const uniform = () => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      return state / 2 ** 32 - 0.5;
    };
    const missed = { 10: 0, 60: 0 };
    for (let n = 0; n < 1000; n++) {
      const scale = 1 + 2 * 0.0035 * uniform();
      const bendKpa = 2 * 1 * uniform();
      const hotSpan = 1 + 2 * 0.01 * uniform();
      const session = made([0, 0.5, 1, 1.5, 2]);
      const points = session.points.map((p) => ({
        ...p,
        volts:
          0.52 +
          hoseKpa({ heightM: p.heightM * scale + 2 * 0.005 * uniform(), waterC: 18, latitudeDeg: 50 }) / 51,
      }));
      const certificate = issuePressureCertificate({
        ...session,
        points,
        probe: { id: 'p', name: 'P' },
        issue: 1,
        issuedAt: '2026-05-01T08:00:00.000Z',
      });
      for (const trueKpa of [10, 60] as const) {
        const { value, uncertainty } = certifiedPressure(
          certificate,
          0.52 + (trueKpa * hotSpan + bendKpa) / 51,
        );
        if (Math.abs(value - trueKpa) > 2 * uncertainty) missed[trueKpa]++;
      }
    }
    // 95 % of 1,000 leaves 50; the binomial stays below 65 in 98 of 100 such tests.
    expect(missed[10]).toBeLessThan(65);
    expect(missed[60]).toBeLessThan(65);
  });

  it('refuses a height that was misread, naming it', () => {
    expect(() => calibratePressure(made([0, 0.5, 1, 1.5, 2], { slipM: 0.4 }))).toThrow(/point at 0.5 m/);
  });

  it('refuses too few heights and a hose that is too short', () => {
    expect(() => calibratePressure(made([0, 2]))).toThrow(/Take 3 or more/);
    expect(() => calibratePressure(made([0, 0.1, 0.2]))).toThrow(/cannot carry a line/);
  });

  it('writes a certificate that reads back, and notices an edit', () => {
    const certificate = issuePressureCertificate({
      ...made([0, 0.5, 1, 1.5, 2]),
      probe: { id: 'port-pump', name: 'Port pump' },
      issue: 1,
      issuedAt: '2026-05-01T08:00:00.000Z',
    });
    const text = JSON.stringify(certificate);
    expect(parsePressureCertificate(text, 'f')).toEqual(certificate);
    expect(() => parsePressureCertificate(text.replace('"waterC":18', '"waterC":19'), 'f')).toThrow(
      /was changed after/,
    );
    expect(() => parsePressureCertificate('{}', 'f')).toThrow(/no certificate of a pressure probe/);
  });
});
