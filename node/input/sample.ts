import type { ChipFault } from '../chips/checked-reads.js';
import type { MissingReason, ProbeId } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';

/** What one input measured since it was last read, before any check. */
export type Sample =
  /** Counts of a converter whose reference is the probe's own supply, so that the supply cancels. */
  | {
      readonly kind: 'counts';
      /** Centre of the code: code + 0.5, averaged. */
      readonly counts: number;
      readonly fullScale: number;
      /** Standard deviation of single counts; what a mean gains depends on it. */
      readonly noiseCounts: number;
      readonly taken: number;
      /** Counts that were too far from the others to be noise, and were left out. */
      readonly strays: number;
    }
  /** A converter with a reference of its own. */
  | { readonly kind: 'volts'; readonly volts: number; readonly stepVolts: number; readonly atLimit: boolean }
  | {
      readonly kind: 'thermocouple';
      readonly emfMicrovolts: number;
      readonly coldJunctionC: number;
    }
  | {
      readonly kind: 'nothing';
      readonly reason: MissingReason;
      /** What a chip's driver calls it, finer than the reason. */
      readonly fault?: string;
      /** For a person who looks for the fault. */
      readonly detail: string;
    };

export type Sampled = {
  readonly probe: ProbeId;
  readonly atMs: MonotonicMs;
  readonly sample: Sample;
  /** The reference pin was off in the same pass: counts of the board's own converter cannot be believed. */
  readonly referencePinOff?: boolean;
};

/** How one probe is read. It keeps only what has arrived since it was last read. */
export interface Input {
  readonly probe: ProbeId;
  /** What came since the last call, or undefined when nothing did. */
  take(): Sampled | undefined;
}

/** A chip that is silent is missing; one that answers what cannot all be true is there, but must not be believed. */
export const reasonOfChip = (fault: ChipFault): MissingReason =>
  fault === 'no-answer' ? 'no-answer' : 'contradicting';
