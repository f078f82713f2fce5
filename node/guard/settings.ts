import type { Engine, Place } from '../kit/schema.js';
import type { ProbeId } from '../reading.js';
import type { ElbowBaseline } from './baseline.js';
import type { LatchLimit } from './latch.js';
import type { LearnedTuning } from './learned-detector.js';

export type ProbeSettings = {
  readonly id: ProbeId;
  readonly name: string;
  readonly engine: Engine | 'both';
  readonly place: Place;
  readonly mounting: 'strap-on' | 'well' | 'free';
  readonly alarm?: LatchLimit;
  readonly warning?: LatchLimit;
  /** What commissioning learnt; only for wet elbows, absent until it has learnt enough. */
  readonly baseline?: ElbowBaseline;
};

/** Everything the guard is told beforehand. Plain data; the same object serves every pass. */
export type GuardSettings = {
  readonly probes: readonly ProbeSettings[];
  /** Whether a digital running input is wired. */
  readonly runningInput: Readonly<Record<Engine, boolean>>;
  /** A warning nobody acknowledged for this long rises to alarm (MSC.302(87) 6.2.2). */
  readonly escalateAfterS: number;
  readonly tuning: LearnedTuning;
};
