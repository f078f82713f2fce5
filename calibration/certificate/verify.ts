import { errorFunction } from 'simple-statistics';
import type { CalibrationPoint } from '../bath/point.js';
import { probeAtPointC } from '../model/bath-effects.js';
import type { Certificate } from './certificate.js';
import { certifiedReading, expandedUncertaintyAt } from './certified-reading.js';
import { type Drift, driftOf, pointUncertaintyC } from './drift.js';

const msPerDay = 86_400_000;
/** Longest stretch between calibrations, days: a year, as common practice has it (no source). */
const longestDays = 365;

/** JCGM 106: accept up to the tolerance itself, or only as far below it as the bath is unsure. */
export type DecisionRule = 'simple-acceptance' | 'guarded-acceptance';

export type Verification = {
  readonly within: boolean;
  readonly bathC: number;
  readonly readC: number;
  /** Reading minus bath, each at its best estimate, with the expanded uncertainty (95 %) of the bath. */
  readonly differenceC: number;
  readonly differenceUncertaintyC: number;
  /** What is tolerated: as asked, else what certificate and bath together allow (95 %). */
  readonly toleranceC: number;
  /** What is accepted under the rule. */
  readonly allowedC: number;
  readonly rule: DecisionRule;
  /** Chance that the error itself, and not only what was seen of it, is within the tolerance. */
  readonly conformityProbability: number;
  /** Difference over what certificate and bath together allow (E_n of ISO/IEC 17043). */
  readonly normalisedError: number;
  readonly daysSinceIssue: number;
  readonly drift: Drift;
  /** When to calibrate next, ISO 8601: now when outside, else before the drift could use up the certificate. */
  readonly calibrateBy: string;
};

/**
 * Compares one freshly settled point with what the certificate promises there. `earlier` are the other certificates of the
 * probe, for its drift. Throws for a signal without temperature.
 */
export function verifyPoint(
  certificate: Certificate,
  point: CalibrationPoint,
  asked: {
    readonly earlier?: readonly Certificate[];
    readonly rule?: DecisionRule;
    readonly toleranceC?: number;
  } = {},
): Verification {
  const { temperatureC: readC } = certifiedReading(certificate, point.signal);
  const bathC = probeAtPointC(point);
  const differenceC = readC - bathC;
  const bathStandardC = pointUncertaintyC(point);
  const differenceUncertaintyC = 1.96 * bathStandardC;
  const promisedC = expandedUncertaintyAt(certificate, point.temperatureC);
  const togetherC = Math.hypot(promisedC, differenceUncertaintyC);
  const { rule = 'simple-acceptance', toleranceC = togetherC } = asked;
  const allowedC = Math.max(0, toleranceC - (rule === 'guarded-acceptance' ? differenceUncertaintyC : 0));
  const within = Math.abs(differenceC) <= allowedC;
  const drift = driftOf(certificate, [...(asked.earlier ?? []), certificate], point);
  const fastest = Math.max(Math.abs(drift.lowCPerYear), Math.abs(drift.highCPerYear));
  const issuedMs = Date.parse(certificate.issuedAt);
  const takenMs = Date.parse(point.takenAt);
  const usedUpMs = issuedMs + (promisedC / fastest) * 365.25 * msPerDay;
  const days = Math.min(longestDays, Math.max(1, (usedUpMs - takenMs) / msPerDay));
  return {
    within,
    bathC,
    readC,
    differenceC,
    differenceUncertaintyC,
    toleranceC,
    allowedC,
    rule,
    conformityProbability:
      bell((toleranceC - differenceC) / bathStandardC) - bell((-toleranceC - differenceC) / bathStandardC),
    normalisedError: Math.abs(differenceC) / togetherC,
    daysSinceIssue: (takenMs - issuedMs) / msPerDay,
    drift,
    calibrateBy: new Date(takenMs + (within ? days : 0) * msPerDay).toISOString(),
  };
}

const bell = (x: number): number => 0.5 * (1 + errorFunction(x / Math.SQRT2));
