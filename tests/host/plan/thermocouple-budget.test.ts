import { describe, expect, it } from 'vitest';
import { thermocouplePoint } from '../../../host/plan/thermocouple-budget.js';
import { readTable } from '../../tables/read-table.js';

describe('thermocouples', () => {
  it('have the EMF of the published type K table at 400 C', () => {
    const row = readTable('its90/type-k.csv').find((r) => Number(Object.values(r)[0]) === 400);
    const millivolts = Number(Object.values(row ?? {})[1]);
    expect(millivolts).toBeGreaterThan(16);
    expect(thermocouplePoint('mcp9601', 'iec-1', 400, 5).emfMicrovolts / 1000).toBeCloseTo(millivolts, 3);
  });

  /** IEC 60584-1, type K, from memory: class 1 is 1.5 C or 0.4 %, class 2 is 2.5 C or 0.75 %. */
  it.each([
    ['iec-1', 300, 1.5],
    ['iec-1', 400, 1.6],
    ['iec-1', 500, 2],
    ['iec-2', 300, 2.5],
    ['iec-2', 400, 3],
  ] as const)('%s wire at %d C is within %d C', (wire, temperatureC, limitC) => {
    expect(thermocouplePoint('mcp9601', wire, temperatureC, 5).wireLimitC).toBeCloseTo(limitC, 6);
  });

  it('on an AD8495 are worth about one degree a count and carry 5 % of a USB supply; on an MCP9601 neither', () => {
    const [analogue, digital] = [
      thermocouplePoint('ad8495', 'iec-1', 400, 5),
      thermocouplePoint('mcp9601', 'iec-1', 400, 5),
    ];
    expect(analogue.cPerCount).toBeCloseTo(5 / 1024 / 0.005, 6);
    expect(analogue.supplyLimitC).toBeCloseTo(20, 6);
    expect(digital.cPerCount).toBeLessThan(0.05);
    expect(digital.supplyLimitC).toBe(0);
    expect(digital.uncertaintyC).toBeLessThan(analogue.uncertaintyC / 5);
  });
});

it('an AD8495 on an ADS1115 is several times surer at 300 C than on a board whose supply is 5 % off', () => {
  const board = thermocouplePoint('ad8495', 'iec-1', 300, 5);
  const chip = thermocouplePoint('ad8495-ads1115', 'iec-1', 300, 5);
  // By hand: limits 1.5 (IEC 60584-1 class 1), 0.75, 1 and 300 x 0.05 = 15 or 300 x 0.0015 = 0.45, rectangular.
  expect(board.uncertaintyC).toBeCloseTo(Math.hypot(1.5, 0.75, 1, 15) / Math.sqrt(3), 1);
  expect(chip.uncertaintyC).toBeCloseTo(Math.hypot(1.5, 0.75, 1, 0.45) / Math.sqrt(3), 1);
});
