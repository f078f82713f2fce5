import type { Clock, MonotonicMs, WallMs } from './clock.js';

/** A change of the wall clock larger than this between two looks is a step; less is the clock being steered. */
const stepMs = 1_000;

/**
 * The wall clock counts whole milliseconds and is steered in small pieces, so the difference of the clocks jitters. It
 * is followed only when it has moved by this much: an alert keeps the same "since" to the millisecond.
 */
const trembleMs = 20;

/**
 * Puts wall times on what happened by the monotonic clock. Nothing inside the node decides by these; they are for
 * files and people. A step of the computer's clock is found and summed, so that times before and after can be distinguished.
 */
export class WallTimes {
  /** The sum of all steps since the start; 0 while the clock has only been steered. */
  steppedMs = 0;
  private offsetMs: number;
  private readonly clock: Clock;

  constructor(clock: Clock) {
    this.clock = clock;
    this.offsetMs = clock.wallMs() - clock.monotonicMs();
  }

  /** Looks at both clocks; call it once a pass. Gives the size of a step when there was one. */
  look(): number | undefined {
    const offsetMs = this.clock.wallMs() - this.clock.monotonicMs();
    const changeMs = offsetMs - this.offsetMs;
    if (Math.abs(changeMs) < trembleMs) return undefined;
    this.offsetMs = offsetMs;
    if (Math.abs(changeMs) < stepMs) return undefined;
    this.steppedMs += changeMs;
    return changeMs;
  }

  at(instant: MonotonicMs): WallMs {
    return Math.round(instant + this.offsetMs) as WallMs;
  }
}
