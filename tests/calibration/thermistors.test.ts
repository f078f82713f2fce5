import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  degreesPerCount,
  dividerCounts,
  dividerOhms,
  selfHeatingC,
  type ThermistorLaw,
  thermistorOhms,
  thermistorSlopeCPerOhm,
  thermistorTemperatureC,
} from '../../calibration/index.js';
import { halfLastDigit, readDocument, readTable } from '../tables/read-table.js';

type Equations = {
  readonly vishay_ntcle100e3_103: { t_of_r: Record<'A1' | 'B1' | 'C1' | 'D1', number> };
  readonly amphenol_material_type_1: { t_of_r: Record<'a' | 'b' | 'c' | 'd', number> };
  readonly steinhart_hart_examples: {
    items: { points: { t_c: number; r_ohm: number }[]; A: number; B: number; C: number }[];
  };
};
const equations = readDocument<Equations>('thermistors/equations.json');
const vishayTerms = equations.vishay_ntcle100e3_103.t_of_r;
const vishay: ThermistorLaw = {
  law: 'steinhart-hart-4',
  a: vishayTerms.A1,
  b: vishayTerms.B1,
  c: vishayTerms.C1,
  d: vishayTerms.D1,
  referenceOhms: 10_000,
};
const amphenolTerms = equations.amphenol_material_type_1.t_of_r;
const amphenol: ThermistorLaw = { law: 'steinhart-hart-4', ...amphenolTerms, referenceOhms: 1 };

describe('published thermistor tables', () => {
  /**
   * The makers' tables and their own equations differ by 0.0112 C (Vishay) and 0.0136 C (Amphenol), so half a printed
   * digit cannot be reached from the printed coefficients; that disagreement plus half a digit is the tolerance.
   */
  it('NTCLE100E3: all 39 rows within 0.0112 C of the datasheet equation', () => {
    const rows = readTable('thermistors/vishay-ntcle100e3-103.csv');
    expect(rows.length).toBe(39);
    let worst = { row: '', excessC: 0 };
    for (const { temp_c = '', resistance_ohm = '' } of rows) {
      const ohms = Number(resistance_ohm);
      const roundingC = Math.abs(thermistorSlopeCPerOhm(vishay, ohms)) * halfLastDigit(resistance_ohm);
      const excessC = Math.abs(thermistorTemperatureC(vishay, ohms) - Number(temp_c)) - roundingC;
      if (excessC > worst.excessC) worst = { row: `${temp_c} C`, excessC };
    }
    expect(worst.excessC, `worst row: ${worst.row}`).toBeLessThanOrEqual(0.0112);
  });

  it('material type 1: all 36 rows within 0.0136 C of the document equation', () => {
    const rows = readTable('thermistors/amphenol-material-1.csv');
    expect(rows.length).toBe(36);
    let worst = { row: '', excessC: 0 };
    for (const { temp_c = '', ratio_rt_r25 = '' } of rows) {
      const ratio = Number(ratio_rt_r25);
      const roundingC = Math.abs(thermistorSlopeCPerOhm(amphenol, ratio)) * halfLastDigit(ratio_rt_r25);
      const excessC = Math.abs(thermistorTemperatureC(amphenol, ratio) - Number(temp_c)) - roundingC;
      if (excessC > worst.excessC) worst = { row: `${temp_c} C`, excessC };
    }
    expect(worst.excessC, `worst row: ${worst.row}`).toBeLessThanOrEqual(0.0136);
  });

  it('three published Steinhart-Hart sets return their own points, both ways', () => {
    const { items } = equations.steinhart_hart_examples;
    expect(items.length).toBe(3);
    for (const { A, B, C, points } of items) {
      const law: ThermistorLaw = { law: 'steinhart-hart', a: A, b: B, c: C };
      for (const { t_c, r_ohm } of points) {
        // Ten printed digits of the coefficients leave about 1e-7 C.
        expect(thermistorTemperatureC(law, r_ohm)).toBeCloseTo(t_c, 6);
        expect(thermistorOhms(law, t_c) / r_ohm).toBeCloseTo(1, 8);
      }
    }
  });
});

describe('thermistor laws', () => {
  const laws: readonly ThermistorLaw[] = [
    vishay,
    { law: 'beta', r25Ohms: 10_000, betaK: 3977 },
    { law: 'steinhart-hart', a: 0.002108508173, b: 7.979204727e-5, c: 6.535076315e-7 },
  ];

  it('beta is 25 C at r25, and at 85 C what its definition says', () => {
    const law: ThermistorLaw = { law: 'beta', r25Ohms: 10_000, betaK: 3977 };
    expect(thermistorTemperatureC(law, 10_000)).toBeCloseTo(25, 12);
    const at85 = 10_000 * Math.exp(3977 * (1 / 358.15 - 1 / 298.15));
    expect(thermistorTemperatureC(law, at85)).toBeCloseTo(85, 10);
  });

  it('round trip from -40 to 150 C within 1e-9 C, falling all the way', () => {
    for (const law of laws) {
      let last = Number.POSITIVE_INFINITY;
      for (let t = -40; t <= 150; t += 0.5) {
        const ohms = thermistorOhms(law, t);
        expect(ohms).toBeLessThan(last);
        last = ohms;
        expect(Math.abs(thermistorTemperatureC(law, ohms) - t)).toBeLessThan(1e-9);
      }
    }
  });

  it('the slope is the derivative', () => {
    for (const law of laws)
      for (const t of [0, 25, 75, 100]) {
        const ohms = thermistorOhms(law, t);
        const step = ohms * 1e-5;
        const slope =
          (thermistorTemperatureC(law, ohms + step) - thermistorTemperatureC(law, ohms - step)) / (2 * step);
        expect(thermistorSlopeCPerOhm(law, ohms) / slope).toBeCloseTo(1, 7);
      }
  });

  it('refuses what is no thermistor', () => {
    const law = laws[0] as ThermistorLaw;
    expect(() => thermistorTemperatureC(law, 0)).toThrow(/short circuit/);
    expect(() => thermistorTemperatureC(law, -5)).toThrow(/above zero/);
    expect(() => thermistorTemperatureC(law, 1e12)).toThrow(/no sane temperature/);
    expect(() => thermistorTemperatureC(law, Number.NaN)).toThrow(/not a number/);
    expect(() => thermistorOhms(law, 401)).toThrow(/-100 to 400 C/);
    // Swapped coefficients fall the wrong way.
    expect(() => thermistorTemperatureC({ law: 'steinhart-hart', a: 0.004, b: -7e-5, c: 0 }, 1e4)).toThrow(
      /no sane/,
    );
  });
});

describe('the divider', () => {
  it('comes back to the resistance it left on either side, leads taken off', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('low' as const, 'high' as const),
        fc.double({ min: 50, max: 500_000, noNaN: true }),
        fc.double({ min: 100, max: 100_000, noNaN: true }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        (thermistorSide, ohms, resistorOhms, leadOhms) => {
          const divider = { thermistorSide, resistorOhms, leadOhms };
          const counts = dividerCounts(ohms, 1023, divider);
          return Math.abs(dividerOhms({ counts, fullScale: 1023 }, divider) / ohms - 1) < 1e-6;
        },
      ),
    );
  });

  it('half scale is the fixed resistor', () => {
    for (const thermistorSide of ['low', 'high'] as const)
      expect(
        dividerOhms({ counts: 512, fullScale: 1024 }, { thermistorSide, resistorOhms: 4700 }),
      ).toBeCloseTo(4700, 9);
  });

  it('says open or short at the rails, for the side the thermistor is on', () => {
    const read = (counts: number, thermistorSide: 'low' | 'high') =>
      dividerOhms({ counts, fullScale: 1023 }, { thermistorSide, resistorOhms: 10_000 });
    expect(() => read(1023, 'low')).toThrow(/thermistor is open/);
    expect(() => read(0, 'low')).toThrow(/thermistor is shorted/);
    expect(() => read(1023, 'high')).toThrow(/thermistor is shorted/);
    expect(() => read(0, 'high')).toThrow(/thermistor is open/);
  });

  it('one count in degrees is what one count more reads', () => {
    for (const thermistorSide of ['low', 'high'] as const) {
      const divider = { thermistorSide, resistorOhms: 10_000 };
      for (const t of [0, 25, 75, 100]) {
        const ohms = thermistorOhms(vishay, t);
        const counts = dividerCounts(ohms, 1024, divider);
        const at = (c: number) =>
          thermistorTemperatureC(vishay, dividerOhms({ counts: c, fullScale: 1024 }, divider));
        expect(degreesPerCount(ohms, 1024, divider, vishay)).toBeCloseTo(
          Math.abs(at(counts + 0.01) - at(counts - 0.01)) / 0.02,
          5,
        );
      }
    }
  });

  it('self-heating is power over the dissipation constant', () => {
    // 5 V over 10k + 10k: 0.625 mW in the thermistor; 2.5 mW/K gives a quarter of a degree.
    expect(
      selfHeatingC({ ohms: 10_000, supplyVolts: 5, resistorOhms: 10_000, dissipationWattsPerC: 0.0025 }),
    ).toBeCloseTo(0.25, 12);
  });
});
