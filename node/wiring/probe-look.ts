import type { Fault } from '../channels/fault.js';
import type { RowValues } from '../reading/quantity.js';
import type { ProbeId, Quality } from '../reading/reading.js';
import type { ReadingCounts } from '../reading/reading-tally.js';

/** One probe's whole chain, from the pin to the degree. Absent where the chain breaks off. */
export type ProbeLook = RowValues & {
  readonly probe: ProbeId;
  readonly name: string;
  /** The input: `A0`, `0x67`, `0x48 AIN0`. */
  readonly input: string;
  readonly counts?: number;
  readonly fullScale?: number;
  readonly volts?: number;
  readonly ohms?: number;
  readonly microvolts?: number;
  readonly coldJunctionC?: number;
  readonly noiseC?: number;
  readonly readingsPerS: number;
  /** How many of its readings were good since the look began. */
  readonly counted: ReadingCounts;
  readonly quality: Quality | 'nothing-yet';
  readonly certificate?: string;
  readonly faults: readonly Fault[];
};
