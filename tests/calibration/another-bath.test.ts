import { describe, expect, it } from 'vitest';
import { combined, coverageFactor95 } from '../../calibration/budget/coverage-factor.js';
import {
  ads1115Divider,
  type Bath,
  boardDivider,
  boilingBath,
  type CalibrationPoint,
  calibrate,
  certifiedTemperatureC,
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
    }, 1_800_000);

  const law = nominalLaw;
  const sensor = { kind: 'thermistor', law } as const;
  const chain = boardDivider({ resistorOhms: 4_700, thermistorSide: 'low' });
  const point = (bath: Bath, trueC: number): CalibrationPoint => ({
    ...bath,
    signal: { raw: thermistorOhms(law, trueC), rawUnit: 'ohm' },
    scatter: 1,
    readings: 45,
    heldS: 45,
    trendCPerMin: 0,
    takenAt: '2026-01-01T00:00:00Z',
  });
  const expandedC = (points: readonly CalibrationPoint[], c: number): number => {
    const lines = calibrate(sensor, chain, points).linesAt(c);
    return coverageFactor95(lines) * combined(lines);
  };

  it('beside a poorer thermometer, or with a poorer pressure, reveals nothing of the better one', () => {
    const good = point(referenceBath(60, 0.5, 1), 60);
    for (const poor of [0.51, 1, 3]) {
      const both = expandedC([good, point(referenceBath(60, poor, 2), 60)], 60);
      expect(both, `${poor}`).toBeGreaterThan(0.97 * expandedC([good], 60));
    }
    const boil = (from: 'qnh' | 'altitude', number: number) =>
      point(
        boilingBath(
          from === 'qnh' ? { from, hectopascals: 1013.25, altitudeM: 0 } : { from, altitudeM: 0 },
          number,
        ),
        100.02,
      );
    // A second pot is another pot, and no more than that.
    const twoPots = expandedC([boil('qnh', 1), boil('qnh', 2)], 93);
    expect(expandedC([boil('qnh', 1), boil('altitude', 2)], 93)).toBeGreaterThan(twoPots);
  });

  it('beside two thermometers holds the truth: theirs are drawn apart, by their own uncertainties', () => {
    const { bell, within } = chance(21);
    const count = 400;
    let held = 0;
    for (let i = 0; i < count; i++) {
      const part = 1 + 0.03 * within();
      const points = [0.3, 1.5].map((u, n) => {
        const trueC = 58 + 4 * n;
        const taken = point(referenceBath(trueC + u * bell() + 0.1 * within(), u, n + 1), trueC);
        return { ...taken, signal: { ...taken.signal, raw: taken.signal.raw * part } };
      });
      const { model } = calibrate(sensor, chain, points);
      const raw = thermistorOhms(law, 60) * part;
      const error = certifiedTemperatureC({ sensor, model } as never, { raw, rawUnit: 'ohm' }) - 60;
      if (Math.abs(error) < expandedC(points, 60)) held++;
    }
    expect(held / count).toBeGreaterThan(0.93);
  });
});
