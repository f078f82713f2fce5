import type { AnalogInput } from '../bus/analog-input.js';
import type { Clock, MonotonicMs } from '../time/clock.js';

/** A pin tied to a known share of the supply may stray this far: two 1 % resistors, a count of noise, a little lead. */
const strayShare = 0.02;
const staleAfterMs = 2_000;

export type ReferenceVerdict = 'well' | 'off' | 'silent';

/**
 * A pin tied to a voltage that is known. It separates a link that garbles numbers, or a reference that sags, from a
 * probe that is hot: no heat moves it.
 */
export class ReferencePin {
  private readonly expectedShare: number;
  private readonly clock: Clock;
  private worst: number | undefined;
  private lastAtMs: MonotonicMs;

  constructor(input: AnalogInput, expectedShare: number, clock: Clock) {
    this.expectedShare = expectedShare;
    this.clock = clock;
    this.lastAtMs = clock.monotonicMs();
    input.onCounts((counts) => {
      const stray = Math.abs((counts + 0.5) / (input.fullScaleCounts + 1) - expectedShare);
      this.worst = Math.max(this.worst ?? 0, stray);
      this.lastAtMs = clock.monotonicMs();
    });
  }

  /** What it says of everything that arrived since it was last asked. */
  verdict(): ReferenceVerdict {
    const { worst } = this;
    this.worst = undefined;
    if (worst !== undefined) return worst <= strayShare ? 'well' : 'off';
    return this.clock.monotonicMs() - this.lastAtMs > staleAfterMs ? 'silent' : 'well';
  }

  describe(): string {
    return `tied to ${(this.expectedShare * 100).toFixed(0)} % of the supply`;
  }
}
