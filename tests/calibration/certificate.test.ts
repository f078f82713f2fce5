import { describe, expect, it } from 'vitest';
import {
  type CalibrationPoint,
  certifiedReading,
  expandedUncertaintyAt,
  iceBath,
  nominalReading,
  referenceBath,
  thermistorOhms,
  thermocoupleCurve,
} from '../../calibration/index.js';
import {
  nominalLaw,
  thermistorCertificate,
  thermistorPoints,
  thermocoupleCertificate,
  trueLaw,
} from './made-points.js';

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
