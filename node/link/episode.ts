import type { Reading } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';

/** Kept from before an alert and after it, at full rate, so that it can be understood afterwards. */
export const beforeMs = 60_000;
export const afterMs = 120_000;

/**
 * Keeps the last minute at full rate and sends it, with what follows, when an alert is raised.
 * An alert during an episode makes it longer; no reading is given twice.
 */
export class Episodes {
  private readonly kept: Reading[][] = [];
  private untilMs = Number.NEGATIVE_INFINITY;

  /** An alert was raised: the minute before, in chunks of about a second each. */
  begin(nowMs: MonotonicMs): readonly (readonly Reading[])[] {
    this.untilMs = nowMs + afterMs;
    return this.kept.splice(0).filter((chunk) => chunk.length > 0);
  }

  /** A second's readings at full rate; gives them back when an episode needs them at once. */
  add(second: readonly Reading[], nowMs: MonotonicMs): readonly Reading[] | undefined {
    if (nowMs <= this.untilMs) return second.length > 0 ? second : undefined;
    this.kept.push([...second]);
    if (this.kept.length > beforeMs / 1000) this.kept.shift();
    return undefined;
  }
}
