import { describe, expect, it } from 'vitest';
import { bestResistor } from '../../../host/plan/best-resistor.js';
import { ads1115Converter, boardConverter, countsUncertainty } from '../../../host/plan/converter.js';
import { e24Ohms } from '../../../host/plan/e24.js';
import { type NtcCircuit, ntcPoint } from '../../../host/plan/ntc-budget.js';
import { readTable } from '../../tables/read-table.js';

/** Vishay NTCLE100E3, 10 kohm, B25/85 = 3977 K: the published resistance at each whole five degrees. */
const published = readTable('thermistors/vishay-ntcle100e3-103.csv').map((row) => {
  const [temperatureC, ohms] = Object.values(row);
  return { temperatureC: Number(temperatureC), ohms: Number(ohms) };
});

const circuit: NtcCircuit = {
  part: {
    law: { law: 'beta', r25Ohms: 10_000, betaK: 3977 },
    r25Ohms: 10_000,
    betaK: 3977,
    r25TolerancePercent: 1,
    betaTolerancePercent: 0.75,
    dissipationMwPerC: 2,
  },
  supplyVolts: 5,
  thermistorSide: 'low',
  leadOhms: 0,
  resistorTolerancePercent: 0.1,
  converter: boardConverter,
};

/** IEC 60063: the E24 series has 24 values a decade. */
describe('the E24 series', () => {
  it('has 24 steps a decade, each about the 24th root of ten, four decades', () => {
    expect(e24Ohms.length).toBe(96);
    for (const [index, ohms] of e24Ohms.slice(1).entries()) {
      const step = ohms / (e24Ohms[index] as number);
      expect(step).toBeGreaterThan(1.05);
      expect(step).toBeLessThan(1.16);
    }
  });
});

describe('a divider, against a published resistance table', () => {
  const rows = published.filter(({ temperatureC }) => temperatureC >= 0 && temperatureC <= 110);

  it('reads the table', () => expect(rows.length).toBeGreaterThanOrEqual(23));

  it.each(rows.slice(1, -1).map((row) => [row.temperatureC]))(
    'at %d C the E24 value with most counts per degree is the one tried and found best by hand',
    (temperatureC) => {
      const index = rows.findIndex((row) => row.temperatureC === temperatureC);
      const [colder, hotter] = [rows[index - 1], rows[index + 1]];
      if (!colder || !hotter) throw new Error('no neighbours');
      // Straight from the published resistances: no thermistor law and no code of ours between.
      const countsOver = (fixed: number) =>
        1024 * (colder.ohms / (colder.ohms + fixed) - hotter.ohms / (hotter.ohms + fixed));
      const tried = e24Ohms.reduce((best, ohms) => (countsOver(ohms) > countsOver(best) ? ohms : best));
      const { mostCountsOhms } = bestResistor(circuit, { bestAtC: temperatureC, fromC: 0, toC: 100 });
      const steps = Math.abs(e24Ohms.indexOf(tried) - e24Ohms.indexOf(mostCountsOhms));
      // Two neighbours of the series may tie to within the rounding of the table.
      expect(steps).toBeLessThanOrEqual(1);
      expect(countsOver(mostCountsOhms) / countsOver(tried)).toBeGreaterThan(0.998);
    },
  );

  it('counts per degree agree with the table within 3 % from 0 to 110 C', () => {
    let worst = 0;
    for (const [index, row] of rows.entries()) {
      const [colder, hotter] = [rows[index - 1], rows[index + 1]];
      if (!colder || !hotter) continue;
      const share = (ohms: number) => (1024 * ohms) / (ohms + 4700);
      const perC = (share(colder.ohms) - share(hotter.ohms)) / (hotter.temperatureC - colder.temperatureC);
      worst = Math.max(worst, Math.abs(ntcPoint(circuit, 4700, row.temperatureC).countsPerC / perC - 1));
    }
    expect(worst).toBeLessThan(0.03);
  });

  it.each([25, 50, 75])(
    'bends least at %d C with R = Rt (B - 2T)/(B + 2T), the makers’ linearising resistor (formula from memory)',
    (temperatureC) => {
      const kelvin = temperatureC + 273.15;
      const { ohms } = ntcPoint(circuit, 1000, temperatureC);
      const linear = (ohms * (3977 - 2 * kelvin)) / (3977 + 2 * kelvin);
      const counts = (t: number) => ntcPoint(circuit, linear, t).counts;
      const bend = counts(temperatureC + 1) - 2 * counts(temperatureC) + counts(temperatureC - 1);
      expect(Math.abs(bend / (counts(temperatureC - 1) - counts(temperatureC)))).toBeLessThan(2e-3);
    },
  );
});

describe('the best resistor', () => {
  const wish = { bestAtC: 75, fromC: -10, toC: 130 };

  it('is the least uncertain of all 96 at the alarm', () => {
    const { resistorOhms } = bestResistor(circuit, wish);
    const of = (ohms: number) => ntcPoint(circuit, ohms, 75).circuitUncertaintyC;
    expect(Math.min(...e24Ohms.map(of))).toBe(of(resistorOhms));
  });

  it('is larger than the one with most counts, because it heats the thermistor less', () => {
    const { resistorOhms, mostCountsOhms } = bestResistor(circuit, wish);
    expect(mostCountsOhms).toBe(1500);
    expect(resistorOhms).toBeGreaterThan(mostCountsOhms);
    const heat = (ohms: number) => ntcPoint(circuit, ohms, 75).selfHeatingC;
    expect(heat(resistorOhms)).toBeLessThan(heat(mostCountsOhms) / 1.5);
  });

  it('nears the one with most counts with better cooling of the element', () => {
    const wet = { ...circuit, part: { ...circuit.part, dissipationMwPerC: 1000 } };
    expect(bestResistor(wet, wish).resistorOhms).toBe(1500);
  });

  it('is held back when the range would run into a rail, and says so', () => {
    const hot = bestResistor(
      { ...circuit, part: { ...circuit.part, dissipationMwPerC: 1000 } },
      { bestAtC: 140, fromC: -25, toC: 150 },
    );
    expect(hot.heldByRange).toBe(true);
    expect(ntcPoint(circuit, hot.resistorOhms, -25).counts / 1024).toBeLessThan(0.99);
  });

  it('refuses a range no resistor can carry', () => {
    expect(() => bestResistor(circuit, { bestAtC: 75, fromC: -60, toC: 250 })).toThrow(/off the rails/);
  });
});

describe('the budget', () => {
  // Ohm's law and the beta law, by hand.
  it('self-heating: 5 V over two equal 10 kohm is 0.625 mW, 0.3125 C at 2 mW/C', () => {
    expect(ntcPoint(circuit, 10_000, 25).selfHeatingC).toBeCloseTo(0.3125, 6);
  });

  it('leads: 1 ohm at 75 C is 1 ohm through the slope of the law, T²/(B R)', () => {
    const point = ntcPoint({ ...circuit, leadOhms: 1 }, 4700, 75);
    expect(point.leadErrorC).toBeCloseTo(348.15 ** 2 / 3977 / point.ohms, 6);
  });

  it('one part in a hundred at 25 C is 0.01 T²/B either way, rectangular', () => {
    const point = ntcPoint(circuit, 10_000, 25);
    const part = Math.sqrt(point.asBoughtUncertaintyC ** 2 - point.circuitUncertaintyC ** 2);
    expect(part).toBeCloseTo((0.01 * 298.15 ** 2) / 3977 / Math.sqrt(3), 6);
  });

  it('averaging eight conversions brings noise down by the root of eight and leaves the bend', () => {
    const bend = 1 / Math.sqrt(3);
    const one = countsUncertainty({ ...boardConverter, averaged: 1 });
    const eight = countsUncertainty(boardConverter);
    expect((one ** 2 - bend ** 2) / (eight ** 2 - bend ** 2)).toBeCloseTo(8, 6);
  });

  it('5 V on an ADS1115 at 187.5 microvolts a count is 26667 counts (datasheet)', () => {
    expect(ads1115Converter(5).fullScaleCounts).toBe(26_667);
  });
});
