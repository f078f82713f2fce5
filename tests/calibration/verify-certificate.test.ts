import { describe, expect, it } from 'vitest';
import { type CalibrationPoint, iceBath, thermistorOhms, verifyPoint } from '../../calibration/index.js';
import { chance } from './coverage/chance.js';
import { thermistorCertificate, thermistorPoints, trueLaw } from './made-points.js';

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
