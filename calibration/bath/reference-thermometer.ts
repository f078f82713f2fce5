/** A reference thermometer by its own certificate: what makes the chain to the national standard unbroken on paper. */
export type ReferenceThermometer = {
  /** As printed: laboratory and number. */
  readonly certificate: string;
  /** Day of its calibration, ISO 8601. */
  readonly calibratedOn: string;
  /** Expanded uncertainty U and coverage factor k, as stated there. */
  readonly expandedUncertaintyC: number;
  readonly coverageFactor: number;
  /** Limit of its drift, from its maker or its history. */
  readonly driftCPerYear: number;
};

const msPerYear = 365.25 * 86_400_000;

/** Standard uncertainty of its reading on a day: U over k, and the drift since then as a rectangle. */
export function referenceStandardUncertaintyC(
  { expandedUncertaintyC, coverageFactor, driftCPerYear, calibratedOn }: ReferenceThermometer,
  onDay: string,
): number {
  const years = Math.max(0, (Date.parse(onDay) - Date.parse(calibratedOn)) / msPerYear);
  return Math.hypot(expandedUncertaintyC / coverageFactor, (driftCPerYear * years) / Math.sqrt(3));
}
