import { describe, expect, it } from 'vitest';
import {
  type CalibrationPoint,
  certificateName,
  certificatePicture,
  certificateText,
  certifiedReading,
  expandedUncertaintyAt,
  iceBath,
  nominalReading,
  parseCertificate,
  referenceBath,
  thermistorOhms,
  thermocoupleCurve,
  verifyPoint,
} from '../../calibration/index.js';
import {
  nominalLaw,
  thermistorCertificate,
  thermistorPoints,
  thermocoupleCertificate,
  trueLaw,
} from './made-points.js';

const codeOf = (action: () => unknown): string => {
  try {
    action();
  } catch (error) {
    return (error as { code: string }).code;
  }
  return 'nothing was refused';
};

describe('the model that the points can carry', () => {
  const settled = (...temperatures: number[]): readonly CalibrationPoint[] =>
    thermistorPoints(temperatures.map((t, i) => (t === 0 ? iceBath() : referenceBath(t, 0.1, i))));

  it('one point moves the curve, two set resistance and beta, three the shape; 5 C apart is one point', () => {
    const fitted = (...temperatures: number[]) => {
      const { model } = thermistorCertificate(1, settled(...temperatures));
      return model.fitted;
    };
    expect(fitted(0)).toBe('offset');
    expect(fitted(50, 55)).toBe('offset');
    expect(fitted(0, 90)).toBe('resistance-and-beta');
    expect(fitted(0, 60, 90)).toBe('steinhart-hart');
    expect(fitted(0, 30, 60, 90)).toBe('steinhart-hart');
    expect(thermocoupleCertificate().model.fitted).toBe('offset-and-gain');
  });

  it('a reading lands on the bath at every point it was fitted through', () => {
    for (const temperatures of [[0], [0, 90], [0, 60, 90]]) {
      const points = settled(...temperatures);
      const certificate = thermistorCertificate(1, points);
      for (const p of points)
        expect(certifiedReading(certificate, p.signal).temperatureC).toBeCloseTo(p.temperatureC, 3);
    }
  });

  it('between and beyond two points the true curve stays within the stated uncertainty, where the datasheet does not', () => {
    const certificate = thermistorCertificate();
    for (const trueC of [25, 50, 75, 110]) {
      const signal = { raw: thermistorOhms(trueLaw, trueC), rawUnit: 'ohm' } as const;
      const error = Math.abs(certifiedReading(certificate, signal).temperatureC - trueC);
      expect(error, `${trueC} C`).toBeLessThan(expandedUncertaintyAt(certificate, trueC));
      const uncalibrated = nominalReading({ kind: 'thermistor', law: nominalLaw }, signal).temperatureC;
      expect(error, `${trueC} C`).toBeLessThan(Math.abs(uncalibrated - trueC) / 2);
    }
  });

  it('a thermocouple gives back offset and gain of its amplifier, and is true at 400 C from another cold junction', () => {
    const certificate = thermocoupleCertificate();
    const k = thermocoupleCurve('K');
    const raw = 0.997 * (k.emfMicrovolts(400) - k.emfMicrovolts(48)) + 9;
    const { temperatureC } = certifiedReading(certificate, { raw, rawUnit: 'microvolt', coldJunctionC: 48 });
    expect(temperatureC).toBeCloseTo(400, 2);
    const { model } = certificate;
    expect(model.kind === 'thermocouple' && model.gain).toBeCloseTo(1 / 0.997 - 1, 6);
    expect(model.kind === 'thermocouple' && model.offsetMicrovolts).toBeCloseTo(-9 / 0.997, 2);
  });
});

describe('the uncertainty over temperature', () => {
  it('a thermistor: smallest near its points, named at 75 C and at the owner setpoint of 68 C', () => {
    const { uncertainty, budgets, validC } = thermistorCertificate();
    expect(budgets.map((b) => b.temperatureC)).toEqual([0, 25, 68, 75, 100]);
    expect(uncertainty[0]?.temperatureC).toBe(validC.from);
    expect(uncertainty.at(-1)?.temperatureC).toBe(validC.to);
    const certificate = thermistorCertificate();
    expect(expandedUncertaintyAt(certificate, 150)).toBeGreaterThan(
      2 * expandedUncertaintyAt(certificate, 90),
    );
  });

  it('a thermocouple at 400 C is ruled by its wire, class 1: 1.6 C, rectangular', () => {
    const [first] = thermocoupleCertificate().budgets.find((b) => b.temperatureC === 400)?.lines ?? [];
    expect(first?.source).toBe('wire (iec-1)');
    expect(first?.standardUncertaintyC).toBeCloseTo(1.6 / Math.sqrt(3), 3);
  });

  it('every budget adds up to the curve', () => {
    for (const certificate of [thermistorCertificate(), thermocoupleCertificate()])
      for (const { temperatureC, lines } of certificate.budgets) {
        const step = certificate.uncertainty.find((s) => s.temperatureC === temperatureC);
        if (!step) continue;
        expect(Math.hypot(...lines.map((l) => l.standardUncertaintyC))).toBeCloseTo(
          step.standardUncertaintyC,
          9,
        );
        expect(step.expandedUncertaintyC).toBeCloseTo(step.coverageFactor * step.standardUncertaintyC, 9);
      }
  });

  it('beyond the valid range it still reads, with an uncertainty that grows', () => {
    const certificate = thermistorCertificate();
    const at = (t: number) =>
      certifiedReading(certificate, { raw: thermistorOhms(trueLaw, t), rawUnit: 'ohm' });
    expect(at(230).standardUncertaintyC).toBeGreaterThan(at(190).standardUncertaintyC);
    expect(at(230).standardUncertaintyC).toBeGreaterThan(at(certificate.validC.to).standardUncertaintyC + 1);
  });
});

describe('the certificate as a file', () => {
  const text = JSON.stringify(thermistorCertificate(), null, 1);

  it('comes back equal, and bears its name', () => {
    const certificate = parseCertificate(text, 'a.json');
    expect(certificate).toEqual(thermistorCertificate());
    expect(certificateName(certificate)).toBe('port-elbow@1');
  });

  it('a hand edit anywhere is noticed, reordering and reindenting are not', () => {
    const edited = text.replace('"Port wet elbow"', '"Port  wet elbow"');
    expect(codeOf(() => parseCertificate(edited, 'a.json'))).toBe('edited-certificate');
    const lowered = text.replace(/"expandedUncertaintyC": (0\.\d+)/, '"expandedUncertaintyC": 0.01');
    expect(lowered).not.toBe(text);
    expect(codeOf(() => parseCertificate(lowered, 'a.json'))).toBe('edited-certificate');
    const reordered = Object.fromEntries(Object.entries(thermistorCertificate()).reverse());
    expect(parseCertificate(JSON.stringify(reordered), 'a.json')).toEqual(thermistorCertificate());
  });

  it('refuses a newer layout, a missing field, another document and no JSON, each with the file and what to do', () => {
    const newer = JSON.stringify({ ...thermistorCertificate(), certificate: 2 });
    expect(codeOf(() => parseCertificate(newer, 'a.json'))).toBe('newer-version');
    const { points: _, ...without } = thermistorCertificate();
    expect(() => parseCertificate(JSON.stringify(without), 'a.json')).toThrow(/^a\.json: field points: /);
    expect(() => parseCertificate('{"kit":1}', 'a.json')).toThrow(/a\.json is no calibration certificate/);
    expect(() => parseCertificate('{"certificate":', 'a.json')).toThrow(/a\.json is not JSON/);
    expect(codeOf(() => parseCertificate('[]', 'a.json'))).toBe('bad-certificate');
  });

  it('is told as text and drawn as a picture without a single NaN', () => {
    for (const certificate of [thermistorCertificate(), thermocoupleCertificate()]) {
      const told = certificateText(certificate);
      expect(told).toContain(certificateName(certificate));
      expect(told).toMatch(/ice {7,}0\.000 C/);
      const drawn = certificatePicture(certificate);
      expect(drawn).toMatch(/^<svg /);
      expect(drawn.match(/<circle/g)?.length).toBe(certificate.points.length);
      expect(`${told}${drawn}`).not.toMatch(/NaN|undefined|Infinity/);
    }
  });
});

describe('verifying a point later', () => {
  const later = (takenAt: string, offC: number): CalibrationPoint => ({
    ...(thermistorPoints([iceBath()])[0] as CalibrationPoint),
    takenAt,
    signal: { raw: thermistorOhms(trueLaw, offC), rawUnit: 'ohm' },
  });

  it('0.05 C off after half a year is within, drifts 0.1 C a year, and may wait a year', () => {
    const found = verifyPoint(thermistorCertificate(), later('2026-08-30T22:05:00.000Z', 0.05));
    expect(found.within).toBe(true);
    expect(found.differenceC).toBeCloseTo(0.05, 2);
    expect(found.driftCPerYear).toBeCloseTo(0.1, 1);
    expect(found.calibrateBy > '2027').toBe(true);
  });

  it('0.6 C off is outside and asks for a calibration now', () => {
    const found = verifyPoint(thermistorCertificate(), later('2026-08-30T22:05:00.000Z', 0.6));
    expect(found.within).toBe(false);
    expect(found.normalisedError).toBeGreaterThan(1);
    expect(found.calibrateBy).toBe('2026-08-30T22:05:00.000Z');
  });

  it('a fast drift that is still within shortens the time to the next calibration', () => {
    const found = verifyPoint(thermistorCertificate(), later('2026-04-30T10:05:00.000Z', 0.2));
    expect(found.within).toBe(true);
    expect(found.calibrateBy < '2026-08').toBe(true);
  });

  it('two days after issue no drift is told', () => {
    const found = verifyPoint(thermistorCertificate(), later('2026-03-03T10:05:00.000Z', 0.05));
    expect(found.driftCPerYear).toBeUndefined();
  });
});
