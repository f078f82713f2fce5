import { describe, expect, it } from 'vitest';
import {
  certifiedTemperatureC,
  rederivationUnder,
  thermistorOhms,
  thermistorTemperatureC,
  thermocoupleCurve,
} from '../../calibration/index.js';
import { ThermistorTable } from '../../calibration/thermistor/law-table.js';
import { nominalLaw, thermistorCertificate, thermocoupleCertificate, trueLaw } from './made-points.js';

describe('the tabled thermistor law', () => {
  it('stays within 1e-6 C of the law from -50 to 200 C, and is the law itself beyond', () => {
    for (const law of [nominalLaw, trueLaw]) {
      const table = new ThermistorTable(law);
      let worst = { at: 0, c: 0 };
      for (let t = -49.99; t < 199.99; t += 0.0137) {
        const ohms = thermistorOhms(law, t);
        const c = Math.abs(table.temperatureC(ohms) - thermistorTemperatureC(law, ohms));
        if (c > worst.c) worst = { at: t, c };
      }
      expect(worst.c, `at ${worst.at} C`).toBeLessThan(1e-6);
      for (const t of [-60, 210, 300]) {
        const ohms = thermistorOhms(law, t);
        expect(table.temperatureC(ohms)).toBe(thermistorTemperatureC(law, ohms));
      }
      expect(() => table.temperatureC(0)).toThrow(/above zero/);
      expect(() => table.temperatureC(Number.NaN)).toThrow();
    }
  });
});

describe('the quick EMF', () => {
  it('stays within 1e-8 uV of the reference function over the whole range', () => {
    for (const type of ['K', 'J', 'N', 'T', 'E', 'S', 'R', 'B'] as const) {
      const curve = thermocoupleCurve(type);
      let worst = 0;
      for (let t = curve.minC; t <= curve.maxC; t += 0.0731)
        worst = Math.max(worst, Math.abs(curve.quickEmfMicrovolts(t) - curve.emfMicrovolts(t)));
      expect(worst, type).toBeLessThan(1e-8);
      expect(() => curve.quickEmfMicrovolts(curve.minC - 0.4)).toThrow(/outside type/);
      expect(() => curve.quickEmfMicrovolts(curve.maxC + 0.4)).toThrow(/outside type/);
    }
  });
});

describe('re-deriving stored readings', () => {
  it('equals the live conversion under the same certificate to 1e-6 C, thermistor and thermocouple', () => {
    const cases = [
      {
        certificate: thermistorCertificate(),
        raw: [32_000, 9_000, 1_500, 700],
        cold: undefined,
        unit: 'ohm',
      },
      {
        certificate: thermocoupleCertificate(),
        raw: [-500, 0, 4_000, 16_000],
        cold: [10, 25, 33.3125, 55],
        unit: 'microvolt',
      },
    ] as const;
    for (const { certificate, raw, cold, unit } of cases) {
      const into = new Float64Array(4);
      const history = {
        raw: Float64Array.from(raw),
        ...(cold ? { coldJunctionC: Float64Array.from(cold) } : {}),
      };
      expect(rederivationUnder(certificate)(history, into).refused).toBe(0);
      raw.forEach((value, i) => {
        const live = certifiedTemperatureC(certificate, {
          raw: value,
          rawUnit: unit,
          ...(cold ? { coldJunctionC: cold[i] as number } : {}),
        });
        expect(Math.abs((into[i] as number) - live)).toBeLessThan(1e-6);
      });
    }
  });

  it('counts what has no temperature, and marks it', () => {
    const into = new Float64Array(3);
    const raw = Float64Array.from([10_000, 0, Number.NaN]);
    expect(rederivationUnder(thermistorCertificate())({ raw }, into).refused).toBe(2);
    expect([...into].map((t) => Number.isNaN(t))).toEqual([false, true, true]);
  });
});
