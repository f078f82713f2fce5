import type { DigitalInput } from '../bus/digital.js';
import type { Clock, MonotonicMs } from '../time/clock.js';

/** An opto-coupler fed from ignition or oil pressure chatters while it starts and stops; a level counts once it has held this long. */
const standsForMs = 300;

/** Whether an engine runs, as its input says: undefined until a level has held long enough. */
export class RunningInput {
  private level: boolean | undefined;
  private changedAtMs = 0 as MonotonicMs;
  private settled: boolean | undefined;
  private readonly clock: Clock;

  constructor(input: DigitalInput, { activeLow }: { readonly activeLow: boolean }, clock: Clock) {
    this.clock = clock;
    input.onLevel((high) => {
      const level = high !== activeLow;
      if (level === this.level) return;
      this.level = level;
      this.changedAtMs = clock.monotonicMs();
    });
  }

  isRunning(): boolean | undefined {
    if (this.level !== undefined && this.clock.monotonicMs() - this.changedAtMs >= standsForMs)
      this.settled = this.level;
    return this.settled;
  }
}
