import type { Clock } from '../time/clock.js';

/**
 * Runs a pass at a steady pace by the monotonic clock. After a stall it continues from now, and does not make up for
 * what it missed: late passes in a burst would look like a healthy heartbeat.
 */
export class Rhythm {
  private readonly periodMs: number;
  private readonly pass: () => void;
  private readonly clock: Clock;
  private readonly onError: (error: unknown) => void;
  private nextAtMs: number;
  private timer: NodeJS.Timeout;

  constructor(periodMs: number, pass: () => void, clock: Clock, onError: (error: unknown) => void) {
    this.periodMs = periodMs;
    this.pass = pass;
    this.clock = clock;
    this.onError = onError;
    this.nextAtMs = clock.monotonicMs() + periodMs;
    this.timer = setTimeout(() => this.turn(), periodMs);
  }

  stop(): void {
    clearTimeout(this.timer);
  }

  private turn(): void {
    const nowMs = this.clock.monotonicMs();
    this.nextAtMs += this.periodMs;
    if (this.nextAtMs <= nowMs) this.nextAtMs = nowMs + this.periodMs;
    // Set before the pass, so that a pass that stops the rhythm stops it, and one that throws does not.
    this.timer = setTimeout(() => this.turn(), this.nextAtMs - nowMs);
    try {
      this.pass();
    } catch (error) {
      this.onError(error);
    }
  }
}
