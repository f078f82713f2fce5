import { z } from 'zod';
import { ThermometryError } from '../errors.js';

/** A reference thermometer by its own certificate: what makes the chain to the national standard unbroken on paper. */
export const referenceThermometerSchema = z.strictObject({
  /** As printed: laboratory and number. */
  certificate: z.string(),
  /** Day of its calibration, ISO 8601. */
  calibratedOn: z.string(),
  /** Expanded uncertainty U and coverage factor k, as stated there. */
  expandedUncertaintyC: z.number().positive(),
  coverageFactor: z.number().positive(),
  /** Limit of its drift, from its maker or its history. */
  driftCPerYear: z.number().min(0),
});
export type ReferenceThermometer = Readonly<z.infer<typeof referenceThermometerSchema>>;

const msPerYear = 365.25 * 86_400_000;

/**
 * Standard uncertainty of its reading on a day: U over k, and the drift since then as a rectangle. Throws for a day before
 * its calibration.
 */
export function referenceStandardUncertaintyC(
  { expandedUncertaintyC, coverageFactor, driftCPerYear, calibratedOn }: ReferenceThermometer,
  onDay: string,
): number {
  const sinceMs = Date.parse(onDay) - Date.parse(calibratedOn);
  // A day is another day on the other side of the earth.
  if (!(sinceMs > -86_400_000))
    throw new ThermometryError(
      'not-physical',
      `The thermometer's certificate is of ${calibratedOn}, which is after today (${onDay.slice(0, 10)}). Check the date, and the clock of this computer.`,
    );
  const years = Math.max(0, sinceMs) / msPerYear;
  return Math.hypot(expandedUncertaintyC / coverageFactor, (driftCPerYear * years) / Math.sqrt(3));
}
