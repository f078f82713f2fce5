import type { MonotonicMs } from '../time/clock.js';

/** Passes may come a little closer together after a late one; this many more than planned in two seconds is a fault. */
const windowMs = 2_000;
const mostTooMany = 1.5;
const spare = 2;
/** Longer than the missing-pulse circuit takes to sound, so that a fault is heard and does not flicker by. */
export const heldForMs = 6_000;

/**
 * Whether this pass may beat. Beats are earned: each reason to doubt the work holds the heartbeat, and a heartbeat that is too fast
 * is a fault too, because a loop that runs wild would otherwise look like a healthy one (a windowed watchdog).
 */
export class Heartbeat {
  private readonly mostInWindow: number;
  private beats: number[] = [];
  private racedAtMs = Number.NEGATIVE_INFINITY;

  /** `passHz` is how often passes are planned. */
  constructor(passHz: number) {
    this.mostInWindow = Math.ceil(((passHz * windowMs) / 1000) * mostTooMany) + spare;
  }

  /** The first of the doubts that there is, or undefined: then the pass may beat, and is counted as a beat. */
  heldBy(nowMs: MonotonicMs, doubts: readonly (string | false | undefined)[]): string | undefined {
    const doubt = doubts.find((one) => typeof one === 'string');
    if (typeof doubt === 'string') return doubt;
    this.beats = [...this.beats.filter((atMs) => nowMs - atMs < windowMs), nowMs];
    if (this.beats.length > this.mostInWindow) this.racedAtMs = nowMs;
    return nowMs - this.racedAtMs < heldForMs ? 'passes come too fast' : undefined;
  }
}
