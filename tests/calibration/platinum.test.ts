import { describe, expect, it } from 'vitest';
import {
  ads1115Divider,
  boilingBath,
  calibrate,
  certifiedReading,
  expandedUncertaintyAt,
  iceBath,
  issueCertificate,
  nominalReading,
  parseCertificate,
  platinumOhms,
  platinumTemperatureC,
  platinumToleranceC,
} from '../../calibration/index.js';
import { halfLastDigit, readTable } from '../tables/read-table.js';
import { chance } from './coverage/chance.js';
import { pointFrom } from './coverage/coverage.js';

describe('the law of platinum thermometers', () => {
  it('meets every row of a maker of elements to IEC 60751 within half the last digit, both ways', () => {
    const rows = readTable('pt100-iec60751.csv');
    expect(rows.length).toBe(80);
    let worst = { ohms: 0, at: '' };
    for (const { temp_c = '', resistance_ohm = '' } of rows) {
      const ohms = Math.abs(platinumOhms(100, Number(temp_c)) - Number(resistance_ohm));
      if (ohms > worst.ohms) worst = { ohms, at: temp_c };
      expect(ohms, temp_c).toBeLessThan(halfLastDigit(resistance_ohm) + 1e-4);
      expect(platinumOhms(1000, Number(temp_c))).toBeCloseTo(10 * platinumOhms(100, Number(temp_c)), 9);
    }
    expect(worst.ohms).toBeGreaterThan(0);
    for (let t = -199.9; t < 850; t += 0.37)
      expect(Math.abs(platinumTemperatureC(100, platinumOhms(100, t)) - t)).toBeLessThan(1e-7);
  });

  it('refuses what no element shows, and knows its classes', () => {
    expect(() => platinumTemperatureC(1000, 108)).toThrow(/Pt100 or a Pt1000/);
    expect(() => platinumOhms(100, 851)).toThrow(/outside IEC 60751/);
    expect(platinumToleranceC('B', 100)).toBeCloseTo(0.8, 9);
    expect(platinumToleranceC('A', -100)).toBeCloseTo(0.35, 9);
  });
});

describe('the certificate of a Pt1000 in a divider on an ADS1115', () => {
  const chain = ads1115Divider({ resistorOhms: 1_000, thermistorSide: 'low' }, 5, true);
  const sensor = { kind: 'platinum', r0Ohms: 1_000, grade: 'B' } as const;
  const boil = boilingBath({ from: 'station', hectopascals: 1009 }, 2);

  it('holds the truth of parts drawn within their tolerances, in 93 of 100 or more, and is read better than without', () => {
    const { within, bell, uniform } = chance(9);
    const count = 300;
    const seen = { held: [0, 0, 0], certified: 0, nominal: 0 };
    for (let i = 0; i < count; i++) {
      const element = 1 + 0.0012 * within();
      const alpha = 1 + 0.004 * within();
      const leads = 0.5 * uniform();
      const fixed = 1_000 * (1 + 0.01 * within());
      const offset = 3 * within();
      const gain = 1 + 0.0015 * within();
      /** What the node would call ohms: whole steps of 187.5 uV, against the supply it measures with the same chip. */
      const read = (c: number): number => {
        const ohms = 1_000 * element * (1 + alpha * (platinumOhms(1, c) - 1)) + leads;
        const full = 5 / 187.5e-6;
        const counts = Math.round((ohms / (ohms + fixed)) * full * gain + offset + 0.3 * bell());
        return (1_000 * counts) / (full - counts);
      };
      const at = (trueC: number, bath = iceBath(1)) =>
        pointFrom(
          bath,
          Array.from({ length: 45 }, () => ({ raw: read(trueC), rawUnit: 'ohm' as const })),
        );
      const iceC = -0.15 * Math.log(1 - uniform());
      const certificate = issueCertificate({
        probe: { id: 'p', name: 'P' },
        issue: 1,
        issuedAt: '2026-01-01T00:00:00Z',
        sensor,
        chain,
        points: [at(iceC), at(boil.temperatureC + 0.2 * within(), boil)],
      });
      if (i === 0) expect(parseCertificate(JSON.stringify(certificate), 'p')).toEqual(certificate);
      [25, 75, 150].forEach((c, place) => {
        const signal = { raw: read(c), rawUnit: 'ohm' } as const;
        const error = certifiedReading(certificate, signal).temperatureC - c;
        if (Math.abs(error) < expandedUncertaintyAt(certificate, c))
          seen.held[place] = (seen.held[place] as number) + 1;
        seen.certified += error ** 2;
        seen.nominal += (nominalReading(sensor, signal).temperatureC - c) ** 2;
      });
    }
    for (const held of seen.held) expect(held / count).toBeGreaterThan(0.93);
    expect(Math.sqrt(seen.certified)).toBeLessThan(0.3 * Math.sqrt(seen.nominal));
  });

  it('a third bath narrows it at every temperature', () => {
    const point = (c: number, bath = iceBath(1)) =>
      pointFrom(
        bath,
        Array.from({ length: 45 }, (_, i) => ({
          raw: platinumOhms(1_000, c) + 0.01 * (i % 3),
          rawUnit: 'ohm' as const,
        })),
      );
    const two = calibrate(sensor, chain, [point(0), point(boil.temperatureC, boil)]);
    const one = calibrate(sensor, chain, [point(0)]);
    for (let c = -50; c <= 300; c += 25)
      expect(Math.sqrt(two.covarianceC2(c, c))).toBeLessThanOrEqual(Math.sqrt(one.covarianceC2(c, c)) + 1e-9);
  });
});
