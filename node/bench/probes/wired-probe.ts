import type { Probe } from '../../kit/schema.js';
import type { ProbeFault } from './probe-fault.js';

/** What surrounds a probe's circuit at one moment. */
export type Surroundings = {
  readonly atS: number;
  /** The sensing element itself. */
  readonly elementC: number;
  /** The terminal block and the chips. */
  readonly boardC: number;
  /** The probe's engine, where it has one: pressure at its transducer, speed of its crankshaft. */
  readonly engine?: { readonly pressureKpa: number; readonly speedRpm: number };
};

/** A probe with its wires and its input circuit or chip, as an owner could touch them. */
export interface WiredProbe {
  readonly probe: Probe;
  fault: ProbeFault | undefined;
  advance(dtS: number, surroundings: Surroundings): void;
}
