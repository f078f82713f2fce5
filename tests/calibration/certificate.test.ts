import { readFileSync } from 'node:fs';
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
import { chance } from './coverage/chance.js';
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

describe('what the points make of a probe', () => {
  const settled = (...temperatures: number[]): readonly CalibrationPoint[] =>
    thermistorPoints(
      temperatures.map((t, i) => (t === 0 ? iceBath(1, 'packed') : referenceBath(t, 0.02, i))),
    );

  it('a reading lands on the best estimate of every bath within the uncertainty of the bath', () => {
    for (const temperatures of [[0], [0, 90], [0, 60, 90], [0, 30, 60, 90]]) {
      const points = settled(...temperatures);
      const certificate = thermistorCertificate(1, points);
      for (const p of points)
        expect(Math.abs(certifiedReading(certificate, p.signal).temperatureC - p.temperatureC)).toBeLessThan(
          0.12,
        );
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

  it('a thermocouple with an offset of 9 uV and a gain 0.3 % low reads 400 C within its uncertainty, closer than without', () => {
    const certificate = thermocoupleCertificate();
    const k = thermocoupleCurve('K');
    const raw = 0.997 * (k.emfMicrovolts(400) - k.emfMicrovolts(48)) + 9;
    const signal = { raw, rawUnit: 'microvolt', coldJunctionC: 48 } as const;
    const error = Math.abs(certifiedReading(certificate, signal).temperatureC - 400);
    expect(error).toBeLessThan(expandedUncertaintyAt(certificate, 400));
    const nominal = nominalReading({ kind: 'thermocouple', type: 'K' }, signal).temperatureC;
    expect(error).toBeLessThan(Math.abs(nominal - 400));
  });

  it('refuses points that no such probe can give, and doubts those that few give, with what is left over', () => {
    const at = (spoilt: number): readonly CalibrationPoint[] =>
      thermistorPoints().map((p, i) =>
        i === 1 ? { ...p, signal: { ...p.signal, raw: p.signal.raw * spoilt } } : p,
      );
    expect(() => thermistorCertificate(1, at(1.3))).toThrow(/cannot come from this probe.*boiling/);
    expect(thermistorCertificate(1, at(1.09)).doubts?.[0]).toMatch(/once in \d+ calibrations/);
    expect(thermistorCertificate().doubts).toBeUndefined();
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

  it('a thermocouple at 400 C is ruled by its wire: what changes in use, and what class 1 leaves open', () => {
    const lines = thermocoupleCertificate().budgets.find((b) => b.temperatureC === 400)?.lines ?? [];
    const of = (source: string) => lines.find((l) => l.source === source)?.standardUncertaintyC ?? 0;
    expect(lines[0]?.source).toBe('wire changed in use');
    // 1 % of 375 C, rectangular.
    expect(of('wire changed in use')).toBeCloseTo(3.75 / Math.sqrt(3), 3);
    // The baths know a part of it, so that less than the whole class of 1.6 C is left.
    expect(of('wire (iec-1)')).toBeGreaterThan(0.4);
    expect(of('wire (iec-1)')).toBeLessThan(1.6 / Math.sqrt(3));
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
    expect(at(260).standardUncertaintyC).toBeGreaterThan(at(certificate.validC.to).standardUncertaintyC + 1);
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
    const newer = JSON.stringify({ ...thermistorCertificate(), certificate: 3 });
    expect(codeOf(() => parseCertificate(newer, 'a.json'))).toBe('newer-version');
    const { points: _, ...without } = thermistorCertificate();
    expect(() => parseCertificate(JSON.stringify(without), 'a.json')).toThrow(/^a\.json: field points: /);
    expect(() => parseCertificate('{"kit":1}', 'a.json')).toThrow(/a\.json is no calibration certificate/);
    expect(() => parseCertificate('{"certificate":', 'a.json')).toThrow(/a\.json is not JSON/);
    expect(codeOf(() => parseCertificate('[]', 'a.json'))).toBe('bad-certificate');
  });

  it('a certificate of the last release still loads and reads as it did', () => {
    // Written by release 92a2f1a; the readings are computed here from the law that it carries.
    const read = (name: string) =>
      parseCertificate(
        readFileSync(new URL(`../tables/certificates/${name}.json`, import.meta.url), 'utf8'),
        name,
      );
    const thermistor = read('port-elbow@1');
    const { model } = thermistor;
    if (model.kind !== 'thermistor') throw new Error('not the model of layout 1');
    const { a, b, c, d, referenceOhms } = model.law;
    const l = Math.log(1_500 / referenceOhms);
    const kelvin = 1 / (a + l * (b + l * (c + l * d)));
    expect(certifiedReading(thermistor, { raw: 1_500, rawUnit: 'ohm' }).temperatureC).toBeCloseTo(
      kelvin - 273.15,
      9,
    );
    const couple = read('port-exhaust@3');
    if (couple.model.kind !== 'thermocouple') throw new Error('not the model of layout 1');
    const k = thermocoupleCurve('K');
    const emf = 15_000 * (1 + couple.model.gain) + couple.model.offsetMicrovolts + k.emfMicrovolts(30);
    expect(
      certifiedReading(couple, { raw: 15_000, rawUnit: 'microvolt', coldJunctionC: 30 }).temperatureC,
    ).toBeCloseTo(k.temperatureC(emf), 9);
    expect(certificateText(couple)).toContain('offset-and-gain');
    expect(certificatePicture(thermistor)).toMatch(/^<svg /);
  });

  it('is written as text and drawn as a picture without a single NaN', () => {
    for (const certificate of [thermistorCertificate(), thermocoupleCertificate()]) {
      const shown = certificateText(certificate);
      expect(shown).toContain(certificateName(certificate));
      expect(shown).toMatch(/ice {7,}0\.000 C/);
      const drawn = certificatePicture(certificate);
      expect(drawn).toMatch(/^<svg /);
      expect(drawn.match(/<circle/g)?.length).toBe(certificate.points.length);
      expect(`${shown}${drawn}`).not.toMatch(/NaN|undefined|Infinity/);
    }
  });
});

describe('verifying a point later', () => {
  const later = (takenAt: string, offC: number): CalibrationPoint => ({
    ...(thermistorPoints([iceBath()])[0] as CalibrationPoint),
    takenAt,
    trendCPerMin: 0,
    signal: { raw: thermistorOhms(trueLaw, offC), rawUnit: 'ohm' },
  });
  const first = thermistorCertificate();

  it('two readings 15 days apart without drift give a rate whose interval holds zero, and leave the year whole', () => {
    const { bell } = chance(3);
    for (let i = 0; i < 50; i++) {
      const found = verifyPoint(first, later('2026-03-16T10:05:00.000Z', 0.1 * bell()));
      expect(found.drift.lowCPerYear).toBeLessThan(0);
      expect(found.drift.highCPerYear).toBeGreaterThan(0);
      expect(found.drift.sessions).toBe(2);
      expect(found.drift.overDays).toBeCloseTo(15, 1);
      expect(found.calibrateBy.slice(0, 10)).toBe('2027-03-16');
    }
  });

  it('a probe that drifts by 0.3 C a year is found out over four certificates in packed ice, and its interval cut', () => {
    const made = (issue: number, years: number) => {
      const takenAt = new Date(
        Date.parse('2026-03-01T10:00:00Z') + years * 365.25 * 86_400_000,
      ).toISOString();
      const points = thermistorPoints([iceBath(1, 'packed')]).map((p) => ({
        ...p,
        takenAt,
        signal: { ...p.signal, raw: thermistorOhms(trueLaw, 0.3 * years) },
      }));
      return { ...thermistorCertificate(issue, points), issuedAt: takenAt };
    };
    const earlier = [made(1, 0), made(2, 1), made(3, 2)];
    const point = made(4, 3).points[0] as CalibrationPoint;
    const found = verifyPoint(made(3, 2), point, { earlier });
    expect(found.drift.sessions).toBe(4);
    expect(found.drift.lowCPerYear).toBeGreaterThan(0.2);
    expect(found.drift.highCPerYear).toBeLessThan(0.4);
    expect(found.drift.lowCPerYear).toBeLessThan(0.3);
    expect(found.drift.highCPerYear).toBeGreaterThan(0.28);
    expect(found.calibrateBy < '2030-03').toBe(true);
  });

  it('0.9 C off is outside and asks for a calibration now', () => {
    const found = verifyPoint(first, later('2026-08-30T22:05:00.000Z', 0.9));
    expect(found.within).toBe(false);
    expect(found.normalisedError).toBeGreaterThan(1);
    expect(found.conformityProbability).toBeLessThan(0.5);
    expect(found.calibrateBy).toBe('2026-08-30T22:05:00.000Z');
  });

  it('simple acceptance takes what a guard band of the width of the bath refuses (JCGM 106, 8.2 and 8.3)', () => {
    const point = later('2026-08-30T22:05:00.000Z', 0.4);
    const simple = verifyPoint(first, point, { toleranceC: 0.5 });
    const guarded = verifyPoint(first, point, { toleranceC: 0.5, rule: 'guarded-acceptance' });
    expect(simple).toMatchObject({ within: true, allowedC: 0.5, rule: 'simple-acceptance' });
    expect(guarded.within).toBe(false);
    expect(guarded.allowedC).toBeCloseTo(0.5 - guarded.differenceUncertaintyC, 9);
    expect(simple.conformityProbability).toBeGreaterThan(0.5);
    expect(simple.conformityProbability).toBeLessThan(0.95);
  });
});
