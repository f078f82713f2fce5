import type { Engine } from '../kit/engines.js';
import type { Running } from '../sense/senses.js';
import type { MonotonicMs } from '../time/clock.js';

/** The slowest missing-pulse circuit over ordinary parts takes 3.2 s: this leaves a chirp of nearly two. */
export const heldForMs = 5_000;
/** A running input with a loose wire must not hold the heartbeat again and again. */
const atMostEveryMs = 60_000;

/**
 * As an engine starts, the heartbeat is held for a moment so that the missing-pulse circuit sounds: with a computer that
 * is always on, nothing else would ever try the buzzer, its fuse and its supply. Watching continues meanwhile.
 */
export class StartTest {
  private readonly ran = new Map<Engine, boolean>();
  private heldAtMs = Number.NEGATIVE_INFINITY;
  private untilMs = Number.NEGATIVE_INFINITY;

  /** Whether this pass leaves out its beat. An alert that sounds comes first: it begins no test and ends one. */
  holds(running: Running, nowMs: MonotonicMs, alertSounds: boolean): boolean {
    const started = this.hasStarted(running);
    if (alertSounds) this.untilMs = Number.NEGATIVE_INFINITY;
    else if (started && nowMs - this.heldAtMs >= atMostEveryMs) {
      this.heldAtMs = nowMs;
      this.untilMs = nowMs + heldForMs;
    }
    return nowMs < this.untilMs;
  }

  /** Whether an engine that was known to be stopped runs now; one that was never seen stopped may have run for long. */
  private hasStarted(running: Running): boolean {
    let started = false;
    for (const [engine, runs] of Object.entries(running)) {
      if (runs && this.ran.get(engine) === false) started = true;
      this.ran.set(engine, runs);
    }
    return started;
  }
}
