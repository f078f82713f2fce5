import { describe, expect, it } from 'vitest';
import { thermocoupleCurve, thermocoupleTypes } from '../../calibration/index.js';
import { halfLastDigit, readTable } from '../tables/read-table.js';

/** Rows of the printed tables (NIST SRD 60): every whole degree of the range. */
const printedRows = { E: 1271, J: 1411, K: 1643, N: 1571, S: 1819, T: 671 } as const;

describe('published thermocouple tables', () => {
  for (const type of ['E', 'J', 'K', 'N', 'S', 'T'] as const) {
    const rows = readTable(`its90/type-${type.toLowerCase()}.csv`);
    const curve = thermocoupleCurve(type);

    it(`type ${type}: all ${printedRows[type]} rows within half the last printed digit`, () => {
      expect(rows.length).toBe(printedRows[type]);
      let worst = { row: '', share: 0 };
      for (const { temp_c = '', emf_mv = '' } of rows) {
        const difference = Math.abs(curve.emfMicrovolts(Number(temp_c)) / 1000 - Number(emf_mv));
        const share = difference / halfLastDigit(emf_mv.includes('.') ? emf_mv : '0.000');
        if (share > worst.share) worst = { row: `${temp_c} C`, share };
      }
      expect(worst.share, `worst row: ${worst.row}`).toBeLessThanOrEqual(1 + 1e-9);
      expect(worst.share, 'the table is rounded, so some row must come near the limit').toBeGreaterThan(0.9);
    });

    it(`type ${type}: the inverse lands on every row within half the last printed digit of its EMF`, () => {
      let worst = { row: '', share: 0 };
      let refused = 0;
      for (const { temp_c = '', emf_mv = '' } of rows) {
        const microvolts = Number(emf_mv) * 1000;
        if (microvolts < curve.minMicrovolts || microvolts > curve.maxMicrovolts) {
          // Rounding put the printed end just outside the range; nothing else may be refused.
          refused++;
          expect([curve.minC, curve.maxC]).toContain(Number(temp_c));
          continue;
        }
        // Half a printed digit in EMF is 0.5 uV over the Seebeck coefficient in degrees; near -270 C that is a degree.
        const answer = curve.temperatureC(microvolts);
        const backMicrovolts = curve.emfMicrovolts(answer);
        const share = Math.abs(curve.emfMicrovolts(Number(temp_c)) - backMicrovolts) / 0.5;
        if (share > worst.share) worst = { row: `${temp_c} C`, share };
      }
      expect(worst.share, `worst row: ${worst.row}`).toBeLessThanOrEqual(1 + 1e-9);
      expect(refused).toBeLessThanOrEqual(2);
    });
  }
});

describe('published inverse polynomials', () => {
  const ranges = readTable('its90/inverse-polynomials.csv');

  it('has 23 ranges over the eight letter types', () => {
    expect(ranges.length).toBe(23);
    expect(new Set(ranges.map((r) => r.type))).toEqual(new Set(thermocoupleTypes));
  });

  // An independent publication of the same curves: their difference from our inverse must keep the printed bounds.
  for (const range of ranges) {
    it(`type ${range.type} ${range.t_min_c} to ${range.t_max_c} C strays from ours by its printed error, no more`, () => {
      const d = (range.d ?? '').split(' ').map(Number);
      const curve = thermocoupleCurve(range.type as (typeof thermocoupleTypes)[number]);
      const minMv = Number(range.emf_min_mv);
      const maxMv = Number(range.emf_max_mv);
      let lowest = 0;
      let highest = 0;
      for (let i = 0; i <= 2000; i++) {
        const mv = minMv + ((maxMv - minMv) * i) / 2000;
        if (mv * 1000 < curve.minMicrovolts || mv * 1000 > curve.maxMicrovolts) continue;
        const error = d.reduceRight((sum, c) => sum * mv + c, 0) - curve.temperatureC(mv * 1000);
        lowest = Math.min(lowest, error);
        highest = Math.max(highest, error);
      }
      const printed = [range.error_min_c ?? '', range.error_max_c ?? ''] as const;
      const [low, high] = printed;
      expect(lowest).toBeGreaterThanOrEqual(Number(low) - halfLastDigit(low) - 1e-9);
      expect(highest).toBeLessThanOrEqual(Number(high) + halfLastDigit(high) + 1e-9);
    });
  }
});
