import { ThermometryError } from '../errors.js';
import { type Pressure, stationPressureOf } from './point.js';
import { doubtAboutPressure, inHectopascals, type PressureUnit, pressureUnits } from './pressure-check.js';

/** What a person typed of a place; the pressures with the unit that is printed on the barometer or in the report. */
export type TypedPlace = {
  /** A barometer there that is not set to sea level: `1009`, `29.8inHg`, `757 mmHg`. */
  readonly barometer?: string | undefined;
  /** Sea-level pressure of a weather report. */
  readonly report?: string | undefined;
  readonly altitudeM?: number | undefined;
};

/** What the fields are called where they were typed. */
export type PlaceNames = Readonly<Record<'barometer' | 'report' | 'altitude', string>>;

/**
 * The pressure that was typed, or undefined when nothing was. Throws for one that contradicts itself, that looks like
 * another unit, or that no place with boats has, with the field in front.
 */
export function pressureTyped(
  { barometer, report, altitudeM }: TypedPlace,
  names: PlaceNames,
): Pressure | undefined {
  const qnhHectopascals =
    report === undefined ? undefined : hectopascalsTyped(report, { name: names.report, altitudeM: 0 });
  if (qnhHectopascals !== undefined && altitudeM === undefined)
    refuse(`${names.report} is reduced to sea level; give ${names.altitude} with it.`);
  if (barometer !== undefined)
    return checked({
      from: 'station',
      hectopascals: hectopascalsTyped(barometer, { name: names.barometer, altitudeM, qnhHectopascals }),
      ...(altitudeM !== undefined && { altitudeM }),
      ...(qnhHectopascals !== undefined && { qnhHectopascals }),
    });
  if (altitudeM === undefined) return undefined;
  return checked(
    qnhHectopascals === undefined
      ? { from: 'altitude', altitudeM }
      : { from: 'qnh', hectopascals: qnhHectopascals, altitudeM },
  );
}

/**
 * Hectopascals of `1009`, `29.8inHg` or `757 mmHg`, as it was typed of a place. Throws, with the field `name` in front, for
 * what is no pressure, looks like another unit, or does not fit what else is known of the place.
 */
export function hectopascalsTyped(
  text: string,
  place: {
    readonly name: string;
    readonly altitudeM?: number | undefined;
    readonly qnhHectopascals?: number | undefined;
  },
): number {
  const read = typed(text, place.name);
  const doubt = doubtAboutPressure({ ...place, ...read });
  if (doubt) refuse(`${place.name}: ${doubt}`);
  return inHectopascals(read.value, read.unit ?? 'hpa');
}

const decimal = /^[+-]?(\d+\.?\d*|\.\d+)$/;

function typed(text: string, name: string): { readonly value: number; readonly unit?: PressureUnit } {
  const [, number = text.trim(), letters] = /^(.*\d\.?)\s*([a-z]+)$/i.exec(text.trim()) ?? [];
  const unit = pressureUnits.find((u) => u === letters?.toLowerCase());
  if (letters !== undefined && unit === undefined)
    refuse(`${name}: "${letters}" is no unit of pressure here; use hPa, mbar, kPa, inHg or mmHg.`);
  if (!decimal.test(number))
    refuse(`${name}: "${number}" is not a number. Write it like 1009, 29.8inHg or 757mmHg.`);
  return { value: Number(number), ...(unit && { unit }) };
}

/** Throws where the atmosphere ends. */
function checked(pressure: Pressure): Pressure {
  stationPressureOf(pressure);
  return pressure;
}

function refuse(words: string): never {
  throw new ThermometryError('not-physical', words);
}
