import { finite, ThermometryError } from '../errors.js';

/** ISO 2533:1975, troposphere: sea-level temperature and pressure, lapse rate, g0 / (R lapse). */
const seaLevelK = 288.15;
const seaLevelHectopascals = 1013.25;
const lapseKPerM = 0.0065;
const exponent = 9.80665 / (287.05287 * lapseKPerM);

/** The troposphere layer of the standard; our places lie between the Dead Sea and the highest lakes. */
const minAltitudeM = -500;
const maxAltitudeM = 11_000;

/** Pressure of the standard atmosphere at a geopotential altitude. Throws outside -500 to 11,000 m. */
export function standardPressureHectopascals(altitudeM: number): number {
  checkAltitude(altitudeM);
  return atLayer(altitudeM);
}

/**
 * Station pressure from a sea-level (QNH) value and the altitude of the place: the pressure of the standard atmosphere
 * whose sea level is shifted to read QNH at altitude zero, as an altimeter setting is defined.
 * A weather report gives QNH; a barometer in the cabin gives station pressure. Confusing them costs 1 C per 300 m.
 */
export function stationPressureHectopascals(input: {
  readonly qnhHectopascals: number;
  readonly altitudeM: number;
}): number {
  checkAltitude(input.altitudeM);
  const { qnhHectopascals } = input;
  finite(qnhHectopascals, 'qnhHectopascals');
  if (qnhHectopascals < 850 || qnhHectopascals > 1100)
    throw new ThermometryError(
      qnhHectopascals < 850 ? 'below-range' : 'above-range',
      `${qnhHectopascals} hPa is no sea-level pressure (850 to 1100). A barometer that is not set to sea level reads station pressure; give it as such.`,
    );
  const shiftM = (seaLevelK / lapseKPerM) * (1 - (qnhHectopascals / seaLevelHectopascals) ** (1 / exponent));
  return atLayer(input.altitudeM + shiftM);
}

function atLayer(altitudeM: number): number {
  return seaLevelHectopascals * (1 - (lapseKPerM * altitudeM) / seaLevelK) ** exponent;
}

function checkAltitude(altitudeM: number): void {
  finite(altitudeM, 'altitudeM');
  if (altitudeM >= minAltitudeM && altitudeM <= maxAltitudeM) return;
  throw new ThermometryError(
    altitudeM < minAltitudeM ? 'below-range' : 'above-range',
    `${altitudeM} m is outside ${minAltitudeM} to ${maxAltitudeM} m. Altitude is in metres above sea level.`,
  );
}
