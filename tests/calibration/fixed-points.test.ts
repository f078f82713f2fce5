import { describe, expect, it } from 'vitest';
import { steamPressureHectopascals } from '../../calibration/fixed-points/steam.js';
import {
  boilingC,
  boilingSlopeCPerHectopascal,
  standardPressureHectopascals,
  stationPressureHectopascals,
} from '../../calibration/index.js';
import { halfLastDigit, readTable } from '../tables/read-table.js';

describe('the boiling point of water (IAPWS R7-97, region 4)', () => {
  const rows = readTable('fixed-points/steam-saturation.csv');

  it('all 82 rows within half the last printed digit', () => {
    expect(rows.length).toBe(82);
    let worst = { row: '', share: 0 };
    for (const { kind, temperature_c = '', pressure_kpa = '' } of rows) {
      const [mine, printed] =
        kind === 'psat_of_t'
          ? [steamPressureHectopascals(Number(temperature_c)) / 10, pressure_kpa]
          : [boilingC(Number(pressure_kpa) * 10), temperature_c];
      const share = Math.abs(mine - Number(printed)) / halfLastDigit(printed);
      if (share > worst.share) worst = { row: `${temperature_c} C ${pressure_kpa} kPa`, share };
    }
    expect(worst.share, `worst row: ${worst.row}`).toBeLessThanOrEqual(1 + 1e-6);
  });

  it('is 99.974 C at the standard atmosphere and moves 0.028 C per hPa', () => {
    expect(boilingC(1013.25)).toBeCloseTo(99.9743, 4);
    expect(boilingSlopeCPerHectopascal(1013.25)).toBeCloseTo(0.0277, 3);
  });

  it('refuses pressures and temperatures outside the saturation line, naming the limits', () => {
    expect(() => boilingC(6)).toThrow(/6 is outside 6\.11213 to 220640/);
    expect(() => boilingC(220_641)).toThrow(/outside/);
    expect(() => boilingC(Number.NaN)).toThrow(/not a number/);
    expect(() => steamPressureHectopascals(-0.1)).toThrow(/-0\.1 is outside 0 to 373\.946/);
    expect(boilingC(steamPressureHectopascals(373.9))).toBeCloseTo(373.9, 6);
  });
});

describe('pressure of the place (ISO 2533)', () => {
  const rows = readTable('fixed-points/standard-atmosphere.csv');

  it('all 51 rows: the computed column within half its last digit', () => {
    expect(rows.length).toBe(51);
    let worst = { row: '', share: 0 };
    for (const { geopotential_altitude_m = '', pressure_pa_computed = '' } of rows) {
      const mine = standardPressureHectopascals(Number(geopotential_altitude_m)) * 100;
      const share = Math.abs(mine - Number(pressure_pa_computed)) / halfLastDigit(pressure_pa_computed);
      if (share > worst.share) worst = { row: `${geopotential_altitude_m} m`, share };
    }
    expect(worst.share, `worst row: ${worst.row}`).toBeLessThanOrEqual(1);
  });

  it('all 51 rows: the published column within half its last digit, plus the 0.01 Pa its copies disagree by', () => {
    let worst = { row: '', excessPa: 0 };
    for (const { geopotential_altitude_m = '', pressure_pa_published = '' } of rows) {
      const mine = standardPressureHectopascals(Number(geopotential_altitude_m)) * 100;
      const excessPa = Math.abs(mine - Number(pressure_pa_published)) - halfLastDigit(pressure_pa_published);
      if (excessPa > worst.excessPa) worst = { row: `${geopotential_altitude_m} m`, excessPa };
    }
    expect(worst.excessPa, `worst row: ${worst.row}`).toBeLessThanOrEqual(0.015);
  });

  it('QNH and station pressure are distinguished: 1020 hPa at 300 m is 984 hPa there', () => {
    const station = stationPressureHectopascals({ qnhHectopascals: 1020, altitudeM: 300 });
    // ISO 2533 by hand: altitude of 1020 hPa is -56.2 m, so the pressure of 243.8 m: 984.3 hPa.
    expect(station).toBeCloseTo(984.3, 1);
    expect(boilingC(1020) - boilingC(station)).toBeGreaterThan(0.9);
  });

  it('QNH at altitude zero is the station pressure, and the standard QNH gives the standard atmosphere', () => {
    expect(stationPressureHectopascals({ qnhHectopascals: 998.7, altitudeM: 0 })).toBeCloseTo(998.7, 9);
    expect(stationPressureHectopascals({ qnhHectopascals: 1013.25, altitudeM: 1234 })).toBeCloseTo(
      standardPressureHectopascals(1234),
      9,
    );
  });

  it('a station pressure given as QNH from a mountain is refused with a hint', () => {
    expect(() => stationPressureHectopascals({ qnhHectopascals: 790, altitudeM: 2000 })).toThrow(
      /no sea-level pressure/,
    );
    expect(() => standardPressureHectopascals(12_000)).toThrow(/-500 to 11000 m/);
  });
});
