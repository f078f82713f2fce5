import { probit } from 'simple-statistics';
import type { Certificate } from './certificate.js';
import { standardUncertaintyAt } from './certified-reading.js';

/** Usual chance that an alarm comes late: one in twenty (a judgement). */
export const usualLateChance = 0.05;

/**
 * Where an alarm must be set so that it is raised before the true temperature passes a limit, but for a stated chance: the
 * limit less a guard band from the certificate's uncertainty there (JCGM 106, 8.3: one limit, guarded acceptance).
 */
export const guardedLimitC = (
  certificate: Certificate,
  limitC: number,
  lateChance = usualLateChance,
): number => limitC - guardBandC(standardUncertaintyAt(certificate, limitC), lateChance);

/** Width of the guard band for a standard uncertainty. */
export const guardBandC = (standardUncertaintyC: number, lateChance = usualLateChance): number =>
  probit(1 - lateChance) * standardUncertaintyC;
