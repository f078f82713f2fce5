import { z } from 'zod';
import type { ThermocoupleType } from './reference-functions.js';

/** Tolerance classes of new wire: IEC 60584-1 class 1 and 2; ASTM E230 special and standard. */
export const toleranceClass = z.enum(['iec-1', 'iec-2', 'astm-special', 'astm-standard']);
export type ToleranceClass = z.infer<typeof toleranceClass>;

type Limit = { readonly atLeastC: number; readonly perC: number };

/**
 * Largest permitted deviation: the greater of a constant and a share of |t|. From memory of IEC 60584-1:2013 and
 * ASTM E230/E230M; not checked against the documents here. Type R and S class 1 rise only above 1100 C.
 */
const limits: Readonly<Record<ToleranceClass, Readonly<Partial<Record<ThermocoupleType, Limit>>>>> = {
  'iec-1': {
    E: { atLeastC: 1.5, perC: 0.004 },
    J: { atLeastC: 1.5, perC: 0.004 },
    K: { atLeastC: 1.5, perC: 0.004 },
    N: { atLeastC: 1.5, perC: 0.004 },
    T: { atLeastC: 0.5, perC: 0.004 },
    R: { atLeastC: 1, perC: 0 },
    S: { atLeastC: 1, perC: 0 },
  },
  'iec-2': {
    B: { atLeastC: 1.5, perC: 0.0025 },
    E: { atLeastC: 2.5, perC: 0.0075 },
    J: { atLeastC: 2.5, perC: 0.0075 },
    K: { atLeastC: 2.5, perC: 0.0075 },
    N: { atLeastC: 2.5, perC: 0.0075 },
    T: { atLeastC: 1, perC: 0.0075 },
    R: { atLeastC: 1.5, perC: 0.0025 },
    S: { atLeastC: 1.5, perC: 0.0025 },
  },
  'astm-special': {
    E: { atLeastC: 1, perC: 0.004 },
    J: { atLeastC: 1.1, perC: 0.004 },
    K: { atLeastC: 1.1, perC: 0.004 },
    N: { atLeastC: 1.1, perC: 0.004 },
    T: { atLeastC: 0.5, perC: 0.004 },
    R: { atLeastC: 0.6, perC: 0.001 },
    S: { atLeastC: 0.6, perC: 0.001 },
  },
  'astm-standard': {
    B: { atLeastC: 1.5, perC: 0.005 },
    E: { atLeastC: 1.7, perC: 0.005 },
    J: { atLeastC: 2.2, perC: 0.0075 },
    K: { atLeastC: 2.2, perC: 0.0075 },
    N: { atLeastC: 2.2, perC: 0.0075 },
    T: { atLeastC: 1, perC: 0.0075 },
    R: { atLeastC: 1.5, perC: 0.0025 },
    S: { atLeastC: 1.5, perC: 0.0025 },
  },
};

/** Half-width of the band in C. A type without that class is held to IEC class 2, the widest. */
export function toleranceLimitC(type: ThermocoupleType, wire: ToleranceClass, temperatureC: number): number {
  const limit = limits[wire][type] ?? limits['iec-2'][type] ?? { atLeastC: 2.5, perC: 0.0075 };
  const share = Math.max(limit.atLeastC, limit.perC * Math.abs(temperatureC));
  const noble1 = wire === 'iec-1' && (type === 'R' || type === 'S');
  return noble1 && temperatureC > 1100 ? 1 + 0.003 * (temperatureC - 1100) : share;
}
