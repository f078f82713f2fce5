import { describe, expect, it } from 'vitest';
import {
  ads1115Divider,
  type Bath,
  boardDivider,
  boilingBath,
  type CalibrationPoint,
  calibrate,
  combined,
  coverageFactor95,
  iceBath,
  mcp960xChain,
  referenceBath,
  thermistorOhms,
  thermocoupleCurve,
} from '../../calibration/index.js';
import { shortOrLong } from '../long-form.js';
import { type Chance, chance } from './coverage/chance.js';
import { nominalLaw } from './made-points.js';

const sessions = shortOrLong(500, 1_500);
const k = thermocoupleCurve('K');

/** A bath of any kind and quality, in any order. */
function anyBath({ uniform }: Chance, number: number): Bath {
  const kind = uniform();
  if (kind < 0.3) return iceBath(number, uniform() < 0.7 ? 'kitchen' : 'packed');
  if (kind < 0.6)
    return boilingBath(
      uniform() < 0.5
        ? { from: 'station', hectopascals: 950 + 80 * uniform() }
        : { from: 'altitude', altitudeM: 800 * uniform() },
      number,
    );
  return referenceBath(-10 + 170 * uniform(), 0.02 + 2 * uniform() ** 2, number);
}

/** Restless or still, quick or with a trend: what a point brings besides its temperature. */
function anyPoint(source: Chance, bath: Bath, probe: 'thermistor' | 'thermocouple'): CalibrationPoint {
  const { uniform, bell } = source;
  const c = bath.temperatureC + 0.3 * bell();
  const ohms = thermistorOhms(nominalLaw, c);
  return {
    ...bath,
    signal:
      probe === 'thermistor'
        ? { raw: ohms, rawUnit: 'ohm' }
        : { raw: k.emfMicrovolts(c) - k.emfMicrovolts(20), rawUnit: 'microvolt', coldJunctionC: 20 },
    scatter: probe === 'thermistor' ? ohms * 0.01 * uniform() ** 2 : 20 * uniform() ** 2,
    readings: 5 + Math.floor(100 * uniform()),
    heldS: 45,
    trendCPerMin: 0.15 * bell(),
    takenAt: '2026-01-01T00:00:00Z',
  };
}

describe('another bath', () => {
  for (const probe of ['thermistor', 'thermocouple'] as const)
    it(`never makes a ${probe}'s certificate worse at any temperature, over ${sessions} random sessions`, () => {
      const source = chance(probe === 'thermistor' ? 11 : 12);
      const { uniform } = source;
      let worst = { ratio: 0, session: 0, temperatureC: 0 };
      for (let session = 0; session < sessions; session++) {
        const divider = { resistorOhms: 1_000 + 20_000 * uniform(), thermistorSide: 'low' } as const;
        const sensor =
          probe === 'thermistor'
            ? ({ kind: 'thermistor', law: nominalLaw } as const)
            : ({ kind: 'thermocouple', type: 'K' } as const);
        const chain =
          probe === 'thermocouple'
            ? mcp960xChain()
            : uniform() < 0.5
              ? boardDivider(divider)
              : ads1115Divider(divider, 5);
        const points = Array.from({ length: 2 + Math.floor(3 * uniform()) }, (_, i) =>
          anyPoint(source, anyBath(source, i), probe),
        );
        const without = calibrate(sensor, chain, points.slice(0, -1));
        const withIt = calibrate(sensor, chain, points);
        for (let i = 0; i < 4; i++) {
          const temperatureC = probe === 'thermistor' ? -40 + 240 * uniform() : -50 + 1_150 * uniform();
          const before = without.linesAt(temperatureC);
          const after = withIt.linesAt(temperatureC);
          const ratio = Math.max(
            combined(after) / combined(before),
            (coverageFactor95(after) * combined(after)) / (coverageFactor95(before) * combined(before)),
          );
          if (ratio > worst.ratio) worst = { ratio, session, temperatureC };
        }
      }
      expect(worst.ratio, JSON.stringify(worst)).toBeLessThan(1 + 1e-6);
    }, 120_000);
});
