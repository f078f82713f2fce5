import { type Certificate, certificateName, expandedUncertaintyAt } from '../../calibration/index.js';
import type { ColdSoak } from './cold-soak.js';
import { canShowDrift, driftOf } from './drift.js';

/** When a probe should next be calibrated, and why then. */
export type CalibrationDue = {
  readonly probe: string;
  readonly name: string;
  /** `never`: read by the maker's curve. `unknown`: the node reads it by a certificate that is not on this computer. */
  readonly why: 'never' | 'unknown' | 'interval' | 'drift';
  readonly certificate?: string;
  readonly issuedAt?: number;
  /** Wall milliseconds; absent where nothing can be said. For `never` it is due already. */
  readonly dueAt?: number;
  /** What the certificate allows where the probes agree or not (95 %), kelvin. */
  readonly allowedK?: number;
  /** Whether enough cold soaks were seen since the certificate to find a drift. */
  readonly driftWatched?: boolean;
  /** Against the middle of all probes after a night, where that is known. */
  readonly driftKPerYear?: number;
};

const dayMs = 86_400_000;
/** Longest stretch between calibrations, as common practice has it (no source), unless host.yaml says otherwise. */
export const usualIntervalDays = 365;
/** Where cold boats are, about; certificates cover it. */
const coldBoatC = 20;

/**
 * The certificate's day plus the interval; earlier where cold soaks since then show a drift that uses up the certificate's
 * own uncertainty before that.
 */
export const calibrationDue = (
  probe: { readonly id: string; readonly name: string; readonly certificateInUse?: string | undefined },
  certificate: Certificate | undefined,
  soaks: readonly ColdSoak[],
  intervalDays = usualIntervalDays,
): CalibrationDue => {
  const { id, name, certificateInUse } = probe;
  const of = { probe: id, name };
  if (!certificate)
    return certificateInUse === undefined
      ? { ...of, why: 'never' }
      : { ...of, why: 'unknown', certificate: certificateInUse };
  const issuedAt = Date.parse(certificate.issuedAt);
  const byInterval = issuedAt + intervalDays * dayMs;
  const allowedK = expandedUncertaintyAt(certificate, coldBoatC);
  const since = soaks.filter((soak) => soak.at >= issuedAt);
  const drift = driftOf(id, since);
  const byDrift = drift ? issuedAt + (allowedK / Math.abs(drift.kPerDay)) * dayMs : Number.POSITIVE_INFINITY;
  return {
    ...of,
    certificate: certificateName(certificate),
    issuedAt,
    allowedK,
    driftWatched: canShowDrift(id, since),
    ...(drift && { driftKPerYear: drift.kPerDay * 365.25 }),
    ...(byDrift < byInterval
      ? { why: 'drift' as const, dueAt: byDrift }
      : { why: 'interval' as const, dueAt: byInterval }),
  };
};
