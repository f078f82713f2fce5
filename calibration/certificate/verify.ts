import type { Certificate } from './certificate.js';
import { certifiedReading, expandedUncertaintyAt } from './certified-reading.js';
import { coverageFactor95 } from './coverage-factor.js';
import type { CalibrationPoint } from './point.js';

const msPerDay = 86_400_000;
/** Longest stretch between calibrations, days: a year, as common practice has it (no source). */
const longestDays = 365;
/** A drift seen over less than this says nothing about a year. */
const shortestDays = 14;

export type Verification = {
  readonly within: boolean;
  readonly bathC: number;
  readonly readC: number;
  /** Reading minus bath. */
  readonly differenceC: number;
  /** The difference that certificate and bath together allow (95 %). */
  readonly allowedC: number;
  /** Difference over allowance; beyond 1 the probe has left its certificate. */
  readonly normalisedError: number;
  readonly daysSinceIssue: number;
  /** Only when enough days have passed to tell. */
  readonly driftCPerYear?: number;
  /** When to calibrate next, ISO 8601: now when outside, else before the drift would use up the allowance. */
  readonly calibrateBy: string;
};

/** Compares one freshly settled point with what the certificate promises there. Throws for a signal without temperature. */
export function verifyPoint(certificate: Certificate, point: CalibrationPoint): Verification {
  const { temperatureC: readC } = certifiedReading(certificate, point.signal);
  const differenceC = readC - point.temperatureC;
  const bathLines = point.errors.map(({ source, distribution, standardUncertaintyC }) => ({
    source,
    distribution,
    standardUncertaintyC,
  }));
  const bathC =
    Math.hypot(...bathLines.map((line) => line.standardUncertaintyC)) * coverageFactor95(bathLines);
  const allowedC = Math.hypot(expandedUncertaintyAt(certificate, point.temperatureC), bathC);
  const normalisedError = Math.abs(differenceC) / allowedC;
  const takenMs = Date.parse(point.takenAt);
  const daysSinceIssue = (takenMs - Date.parse(certificate.issuedAt)) / msPerDay;
  const tells = daysSinceIssue >= shortestDays;
  const driftCPerDay = differenceC / daysSinceIssue;
  const daysLeft = tells
    ? (allowedC - Math.abs(differenceC)) / Math.max(Math.abs(driftCPerDay), 1e-9)
    : longestDays;
  const within = normalisedError <= 1;
  const days = within ? Math.min(longestDays, Math.max(1, daysLeft)) : 0;
  return {
    within,
    bathC: point.temperatureC,
    readC,
    differenceC,
    allowedC,
    normalisedError,
    daysSinceIssue,
    ...(tells ? { driftCPerYear: driftCPerDay * 365.25 } : {}),
    calibrateBy: new Date(takenMs + days * msPerDay).toISOString(),
  };
}
