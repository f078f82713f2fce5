import { describe, expect, it } from 'vitest';
import {
  ad8495TemperatureC,
  ad8495Volts,
  max31855TemperatureC,
  thermocoupleCurve,
} from '../../calibration/index.js';

describe('AD8495', () => {
  // Output of an AD8495 at 25 C with REF at ground: Analog Devices AN-1087, table of ideal outputs, from memory.
  const published = [
    [0, 0.003],
    [25, 0.125],
    [100, 0.504],
    [250, 1.245],
    [500, 2.529],
  ] as const;

  it('gives the published output at 5 temperatures within 1 mV', () => {
    for (const [temperatureC, volts] of published)
      expect(
        Math.abs(ad8495Volts({ temperatureC, boardC: 25, referenceVolts: 0 }) - volts),
        `${temperatureC} C`,
      ).toBeLessThanOrEqual(0.001);
  });

  it('comes back from volts to the temperature it left, for every board temperature and REF voltage', () => {
    let worstC = 0;
    for (const boardC of [-10, 0, 25, 60])
      for (const referenceVolts of [0, 1.25])
        for (let temperatureC = -200; temperatureC <= 1300; temperatureC += 7) {
          const volts = ad8495Volts({ temperatureC, boardC, referenceVolts });
          worstC = Math.max(
            worstC,
            Math.abs(ad8495TemperatureC({ volts, boardC, referenceVolts }) - temperatureC),
          );
        }
    expect(worstC).toBeLessThan(1e-9);
  });

  it('read at a plain 5 mV/C it would be more than 1 C off at 400 C', () => {
    const volts = ad8495Volts({ temperatureC: 400, boardC: 25, referenceVolts: 0 });
    expect(Math.abs(volts / 0.005 - 400)).toBeGreaterThan(1);
    expect(ad8495TemperatureC({ volts, boardC: 25, referenceVolts: 0 })).toBeCloseTo(400, 9);
  });
});

describe('MAX31855', () => {
  it('undoes the straight line of 41.276 uV/C', () => {
    // The chip reports cold + E/41.276: Maxim MAX31855 data sheet 19-5793, table of sensitivities, restated from memory.
    const curve = thermocoupleCurve('K');
    for (const [hot, cold] of [
      [400, 25],
      [75, 40],
      [-50, 10],
    ] as const) {
      const reportedC = cold + (curve.emfMicrovolts(hot) - curve.emfMicrovolts(cold)) / 41.276;
      expect(max31855TemperatureC({ reportedC, coldJunctionC: cold })).toBeCloseTo(hot, 9);
    }
  });
});
