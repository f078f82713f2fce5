import {
  type Bath,
  boilingBath,
  boilingC,
  type Calibration,
  type CalibrationPoint,
  iceBath,
  type Pressure,
  referenceBath,
  standardPressureHectopascals,
} from '../../../calibration/index.js';
import type { Chance } from './chance.js';

/** A bath as the owner believes it to be, and as it is. */
export type TrueBath = { readonly believed: Bath; readonly trueC: number };

/** The baths of one session on one boat: errors drawn as home-made baths and barometers have them. */
export function randomBaths(chance: Chance, wanted: readonly Bath['kind'][]): readonly TrueBath[] {
  const { within, bell, uniform } = chance;
  const { pressure, truePressure } = randomPressure(chance);
  const thermometerBiasC = 0.15 * bell();
  return wanted.map((kind, i) => {
    if (kind === 'ice') return { believed: iceBath(), trueC: 0.1 * within() };
    if (kind === 'boiling')
      return { believed: boilingBath(pressure), trueC: boilingC(truePressure) + 0.2 * within() };
    const trueC = 55 + 10 * uniform() + 0.1 * within();
    const readC = trueC + thermometerBiasC + 0.1 * within();
    return { believed: referenceBath(readC, 0.15, i), trueC };
  });
}

/** The weather, and what the owner makes of it: a barometer, a report, or the altitude alone. */
function randomPressure({ bell, uniform }: Chance): { pressure: Pressure; truePressure: number } {
  const altitudeM = 400 * uniform() ** 2;
  const kind = uniform();
  if (kind < 0.34) {
    const truePressure = 1010 + 9 * bell();
    return { truePressure, pressure: { from: 'station', hectopascals: truePressure + 0.6 * bell() } };
  }
  const weather = 10 * bell();
  if (kind < 0.67) {
    const qnh = 1013 + weather;
    // The report and the altitude together are wrong by 1.5 hPa.
    const truePressure = qnh * (standardPressureHectopascals(altitudeM) / 1013.25) + 1.5 * bell();
    return { truePressure, pressure: { from: 'qnh', hectopascals: qnh, altitudeM } };
  }
  const truePressure = standardPressureHectopascals(altitudeM) + weather;
  return { truePressure, pressure: { from: 'altitude', altitudeM } };
}

/** Takes `readings` readings in a bath and makes of them what the session makes: mean and scatter. */
export function pointFrom(
  believed: Bath,
  readings: readonly number[],
  rawUnit: 'ohm' | 'microvolt' | 'volt',
  coldJunctionC?: number,
): CalibrationPoint {
  const mean = readings.reduce((sum, r) => sum + r, 0) / readings.length;
  const variance = readings.reduce((sum, r) => sum + (r - mean) ** 2, 0) / (readings.length - 1);
  return {
    ...believed,
    signal: { raw: mean, rawUnit, ...(coldJunctionC === undefined ? {} : { coldJunctionC }) },
    scatter: Math.sqrt(variance),
    readings: readings.length,
    heldS: readings.length,
    trendCPerMin: 0,
    takenAt: '2026-01-01T00:00:00Z',
  };
}

/** One calibrated probe, ready to be asked: what does it read at this true temperature? */
export type CalibratedProbe = {
  readonly calibration: Calibration;
  readonly readAt: (trueC: number) => number;
};
