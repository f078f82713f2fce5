import { z } from 'zod';
import { degreesIn } from './degrees.js';

/** A number, and the unit behind or before it where there is one. */
const parted = (typed: string): { readonly value: number; readonly unit: string } | undefined => {
  const text = typed.trim();
  const awg = /^awg\s*(\d{1,2})$/i.exec(text);
  if (awg) return { value: Number(awg[1]), unit: 'awg' };
  const [, number, unit = ''] = /^([+-]?\d+(?:\.\d+)?)\s*([^\d\s].*)?$/.exec(text) ?? [];
  return number === undefined ? undefined : { value: Number(number), unit: unit.toLowerCase().trim() };
};

type InUnit = Readonly<Record<string, (value: number) => number>>;

const same = (value: number): number => value;
/** A foot is 0.3048 m by definition. */
const fromFeet = (feet: number): number => feet * 0.3048;
/** Area of a solid wire of this American gauge: its diameter is 0.127 mm * 92^((36 - n) / 39) (ASTM B258, from memory). */
const fromGauge = (gauge: number): number => (Math.PI / 4) * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2;
const { pointC } = degreesIn('fahrenheit');

const lengths: InUnit = {
  '': same,
  m: same,
  metre: same,
  metres: same,
  meter: same,
  meters: same,
  ft: fromFeet,
  foot: fromFeet,
  feet: fromFeet,
  "'": fromFeet,
};
const areas: InUnit = { mm2: same, 'mm²': same, awg: fromGauge };
const temperatures: InUnit = { c: same, '°c': same, f: pointC, '°f': pointC };

const typedIn =
  (units: InUnit) =>
  (typed: string): number | undefined => {
    const found = parted(typed);
    const read = found && Object.hasOwn(units, found.unit) ? units[found.unit] : undefined;
    const value = found && read?.(found.value);
    // Ten thousandths are finer than anything that is typed; more digits only look exact.
    return value === undefined ? undefined : Math.round(value * 10_000) / 10_000;
  };

/** Metres of `4 m`, `4` or `13 ft`; nothing for what is no length. */
export const metresTyped = typedIn(lengths);
/** Square millimetres of `0.5 mm2` or `AWG 20`; nothing without a unit. */
export const squareMmTyped = typedIn(areas);
/** Celsius of `75 C` or `167 F`; nothing without a unit, since 100 could be meant as either. */
export const celsiusTyped = typedIn(temperatures);

/** In a file: a bare number in the unit that its name has, or words with a unit, which are converted. */
const orTyped = (read: (typed: string) => number | undefined, such: string) => (bounds: z.ZodNumber) =>
  z
    .union([z.number(), z.string()])
    .transform((given, context) => {
      const value = typeof given === 'number' ? given : read(given);
      if (value !== undefined) return value;
      context.addIssue({
        code: 'custom',
        message: `"${given}" has no unit that is known here; such as ${such}`,
      });
      return z.NEVER;
    })
    .pipe(bounds);

export const metresOrTyped = orTyped(metresTyped, '4, 4 m or 13 ft');
export const squareMmOrTyped = orTyped(squareMmTyped, '0.5, 0.5 mm2 or AWG 20');
export const celsiusOrTyped = orTyped(celsiusTyped, '75, 75 C or 167 F');
