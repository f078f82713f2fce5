import type { MissingReason, ProbeId, Reading } from './reading.js';

/** How the readings of one probe came out since the start. Every reading is in exactly one of the three. */
export type ReadingCounts = {
  /** With a temperature. */
  readonly good: number;
  /** The input gave something that was not believed. */
  readonly doubtful: number;
  /** The input gave nothing, or shows that there is no probe. */
  readonly missing: number;
};

const isDoubt: Readonly<Record<MissingReason, boolean>> = {
  open: false,
  short: false,
  'short-to-supply': false,
  'no-answer': false,
  stale: false,
  'board-away': false,
  'out-of-range': true,
  implausible: true,
  contradicting: true,
  reversed: true,
  'cold-junction': true,
  'canary-astray': true,
};

/** Counts every reading as good, doubtful or missing, so that none is dropped unnoticed. */
export class ReadingTally {
  private readonly counts = new Map<ProbeId, Record<keyof ReadingCounts, number>>();

  add({ probe, result }: Reading): void {
    let count = this.counts.get(probe);
    if (!count) {
      count = { good: 0, doubtful: 0, missing: 0 };
      this.counts.set(probe, count);
    }
    if (result.kind === 'measured') count.good++;
    else if (isDoubt[result.reason]) count.doubtful++;
    else count.missing++;
  }

  of(probe: ProbeId): ReadingCounts {
    return this.counts.get(probe) ?? { good: 0, doubtful: 0, missing: 0 };
  }

  /** By probe; only probes with a reading. */
  all(): Readonly<Record<ProbeId, ReadingCounts>> {
    return Object.fromEntries([...this.counts].map(([probe, counts]) => [probe, { ...counts }]));
  }
}
