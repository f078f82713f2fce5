import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  hotJunctionC,
  measuredEmfMicrovolts,
  type ThermocoupleType,
  ThermometryError,
  thermocoupleCurve,
  thermocoupleTypes,
} from '../../calibration/index.js';

/** Runs something that must refuse, and hands back how. */
function refusalOf(action: () => unknown): ThermometryError {
  try {
    action();
  } catch (error) {
    if (error instanceof ThermometryError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('the exact inverse', () => {
  /**
   * Residual of E(T(e)) - e in nanovolts. The polynomials of type T below -200 C lose digits to cancellation: their
   * terms reach millivolts a million times the step of a double, which bounds what any inverse can do there.
   */
  const limitNanovolts: Readonly<Record<ThermocoupleType, number>> = {
    B: 5e-6,
    E: 1e-5,
    J: 2e-6,
    K: 2e-6,
    N: 2e-6,
    R: 1e-6,
    S: 1e-6,
    T: 3e-5,
  };
  for (const type of thermocoupleTypes) {
    it(`type ${type}: E(T(e)) - e stays at the rounding of the arithmetic over the whole range`, () => {
      const curve = thermocoupleCurve(type);
      const span = curve.maxMicrovolts - curve.minMicrovolts;
      let worst = { at: 0, microvolts: 0 };
      let worstQuick = { at: 0, c: 0 };
      for (let i = 0; i <= 50_000; i++) {
        const emf = Math.min(curve.maxMicrovolts, curve.minMicrovolts + (span * i) / 50_000);
        const answer = curve.temperatureC(emf);
        const residual = Math.abs(curve.emfMicrovolts(answer) - emf);
        if (residual > worst.microvolts) worst = { at: answer, microvolts: residual };
        const quick = Math.abs(curve.quickTemperatureC(emf) - answer);
        if (quick > worstQuick.c) worstQuick = { at: answer, c: quick };
      }
      // At a joint the published pieces of one type miss each other by up to 1e-4 uV; the sweep does not hit those.
      expect(worst.microvolts * 1000, `at ${worst.at} C`).toBeLessThan(limitNanovolts[type]);
      expect(worstQuick.c, `quick, at ${worstQuick.at} C`).toBeLessThan(1e-7);
    });
  }

  it('the mapped array equals the single quick conversion and counts what it refuses', () => {
    const curve = thermocoupleCurve('K');
    const emf = Float64Array.from([
      0,
      4096,
      -7000,
      60_000,
      Number.NaN,
      1e12,
      -1e12,
      Number.POSITIVE_INFINITY,
      -6457,
    ]);
    const into = new Float64Array(emf.length);
    expect(curve.mapTemperaturesC(emf, into).refused).toBe(6);
    expect([...into].map((t) => Number.isNaN(t))).toEqual([
      false,
      false,
      true,
      true,
      true,
      true,
      true,
      true,
      false,
    ]);
    expect(into[1]).toBe(curve.quickTemperatureC(4096));
    expect(into[8]).toBeCloseTo(curve.temperatureC(-6457), 9);
  });

  it('rises with the EMF, everywhere and for all types', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...thermocoupleTypes),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 1e-6, max: 1, noNaN: true }),
        (type, share, step) => {
          const curve = thermocoupleCurve(type);
          const low = curve.minMicrovolts + share * (curve.maxMicrovolts - curve.minMicrovolts - step);
          return curve.temperatureC(low + step) > curve.temperatureC(low);
        },
      ),
    );
  });
});

describe('the Seebeck coefficient', () => {
  it('type K is 39.45 uV/C at 0 C and 41.37 uV/C at 100 C', () => {
    // NIST Monograph 175, table of Seebeck coefficients of type K, from memory: 39.4501 at 0 C, 41.3678 at 100 C.
    expect(thermocoupleCurve('K').seebeckMicrovoltsPerC(0)).toBeCloseTo(39.4501, 3);
    expect(thermocoupleCurve('K').seebeckMicrovoltsPerC(100)).toBeCloseTo(41.368, 2);
  });

  it('equals the slope of the EMF', () => {
    for (const type of thermocoupleTypes) {
      const curve = thermocoupleCurve(type);
      for (let t = Math.ceil(curve.minC) + 1; t < curve.maxC - 1; t += 13.7) {
        const slope = (curve.emfMicrovolts(t + 1e-3) - curve.emfMicrovolts(t - 1e-3)) / 2e-3;
        expect(curve.seebeckMicrovoltsPerC(t)).toBeCloseTo(slope, 3);
      }
    }
  });
});

describe('what a thermocouple refuses', () => {
  it('names the type and its limits outside the range', () => {
    const low = refusalOf(() => thermocoupleCurve('J').emfMicrovolts(-211));
    expect(low.code).toBe('below-range');
    expect(low.message).toMatch(/-211 C is outside type J \(-210 to 1200 C\)/);
    const high = refusalOf(() => thermocoupleCurve('K').temperatureC(54_887));
    expect(high.code).toBe('above-range');
    expect(high.message).toMatch(/54\.887 mV is outside type K .*-270 to 1372 C/);
    expect(refusalOf(() => thermocoupleCurve('T').temperatureC(Number.NaN)).code).toBe('not-a-number');
  });

  it('type B below about 42 C shares one EMF between two temperatures and says so', () => {
    const curve = thermocoupleCurve('B');
    for (const emf of [-2.5, -1, 0]) {
      const refusal = refusalOf(() => curve.temperatureC(emf));
      expect(refusal.code).toBe('ambiguous');
      expect(refusal.message).toMatch(/two temperatures below 42\.\d+ C/);
    }
    expect(refusalOf(() => curve.temperatureC(-3)).code).toBe('below-range');
    expect(curve.temperatureC(0.001)).toBeGreaterThan(42);
    expect(curve.emfMicrovolts(curve.temperatureC(0.001))).toBeCloseTo(0.001, 9);
  });
});

describe('the cold junction', () => {
  it('is compensated in the EMF domain: 100 C seen from 25 C is 4.096 - 1.000 mV for type K', () => {
    // NIST SRD 60 table of type K: 4.096 mV at 100 C, 1.000 mV at 25 C.
    const emf = measuredEmfMicrovolts({ type: 'K', temperatureC: 100, coldJunctionC: 25 });
    expect(Math.abs(emf / 1000 - (4.096 - 1.0))).toBeLessThan(0.001);
    expect(hotJunctionC({ type: 'K', emfMicrovolts: emf, coldJunctionC: 25 })).toBeCloseTo(100, 9);
  });
});
