import type { SessionEvent } from '../../calibration/index.js';
import type { ReadingRow } from '../../node/index.js';

/** A reading at this moment as a calibration session takes it: its raw signal, or why there is none. */
export const sessionEventOf = (row: ReadingRow, atS: number): SessionEvent => {
  const { probe, quality, raw, rawUnit, coldJunctionC } = row;
  if (quality !== 'good' || raw === undefined || rawUnit === undefined)
    return { kind: 'missing', probe, why: quality === 'good' ? 'no raw signal' : quality };
  const signal = { raw, rawUnit, ...(coldJunctionC !== undefined && { coldJunctionC }) };
  return { kind: 'reading', probe, atS, signal };
};
