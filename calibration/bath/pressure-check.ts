import { standardPressureHectopascals, stationPressureHectopascals } from '../fixed-points/atmosphere.js';

/** Units a barometer may be marked in, hPa each. */
const units = {
  hpa: 1,
  mbar: 1,
  kpa: 10,
  inhg: 33.8638866667,
  mmhg: 1.33322387415,
} as const;
export type PressureUnit = keyof typeof units;
export const pressureUnits = Object.keys(units) as PressureUnit[];

export const inHectopascals = (value: number, unit: PressureUnit): number => value * units[unit];

/** How far the weather moves the pressure of a place, one standard deviation (common practice, no source). */
const weatherHectopascals = 10;
/** A barometer and a weather report that are further apart than this are not of one place. */
const togetherHectopascals = 4;

/**
 * Why a number typed as the pressure of a place is doubted, or undefined: a number that is one of another unit, or a
 * sea-level value at an altitude where the two differ. `unit` is what was typed behind the number.
 */
export function doubtAboutPressure(typed: {
  readonly value: number;
  readonly unit?: PressureUnit | undefined;
  readonly altitudeM?: number | undefined;
  readonly qnhHectopascals?: number | undefined;
}): string | undefined {
  const { value, unit, altitudeM, qnhHectopascals } = typed;
  const hectopascals = inHectopascals(value, unit ?? 'hpa');
  const expected = altitudeM === undefined ? undefined : standardPressureHectopascals(altitudeM);
  if (unit === undefined) {
    const other = pressureUnits.find(
      (u) => u !== 'hpa' && u !== 'mbar' && likely(inHectopascals(value, u), expected),
    );
    if (other !== undefined && !(expected !== undefined && likely(value, expected)))
      return `${value} looks like ${names[other]}. Write ${value}${names[other]}, or ${value}hPa if it is that.`;
  }
  if (!(hectopascals >= 500 && hectopascals <= 1090))
    return `${hectopascals.toFixed(1)} hPa is no air pressure at a place with boats (500 to 1090). Check the value and its unit.`;
  if (altitudeM === undefined || expected === undefined) return undefined;
  if (qnhHectopascals !== undefined) {
    const reported = stationPressureHectopascals({ qnhHectopascals, altitudeM });
    if (Math.abs(reported - hectopascals) <= togetherHectopascals) return undefined;
    return `The barometer says ${hectopascals.toFixed(1)} hPa, and a report of ${qnhHectopascals} hPa at sea level means ${reported.toFixed(1)} hPa at ${altitudeM} m. ${
      Math.abs(hectopascals - qnhHectopascals) <= togetherHectopascals
        ? 'This barometer is set to sea level: leave it out.'
        : 'Check both, and the altitude.'
    }`;
  }
  const asStation = (hectopascals - expected) / weatherHectopascals;
  const asSeaLevel = (hectopascals - standardPressureHectopascals(0)) / weatherHectopascals;
  if (Math.abs(asStation) > 4.5)
    return `At ${altitudeM} m the air has about ${expected.toFixed(0)} hPa, and never ${hectopascals.toFixed(1)}. ${
      Math.abs(asSeaLevel) < 4.5 ? seaLevelAdvice : 'Check the value and the altitude.'
    }`;
  // Twice as likely in the logarithm: the number fits sea level clearly better than the place.
  return asStation ** 2 - asSeaLevel ** 2 > 2
    ? `${hectopascals.toFixed(1)} hPa fits sea level better than ${altitudeM} m (about ${expected.toFixed(0)} hPa). ${seaLevelAdvice}`
    : undefined;
}

const seaLevelAdvice =
  'A barometer set to sea level, and every weather report, gives QNH: give it as such with the altitude. If it is the pressure of the place, give the QNH of the report too.';

const names: Readonly<Record<PressureUnit, string>> = {
  hpa: 'hPa',
  mbar: 'mbar',
  kpa: 'kPa',
  inhg: 'inHg',
  mmhg: 'mmHg',
};

/** Pressures of boats' places; near the expected one where the altitude is known. */
const likely = (hectopascals: number, expected?: number): boolean =>
  expected === undefined
    ? hectopascals >= 840 && hectopascals <= 1060
    : Math.abs(hectopascals - expected) <= 4.5 * weatherHectopascals;
