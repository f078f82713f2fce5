import type { AnalogInput } from '../bus/analog-input.js';
import type { ProbeId } from '../reading/reading.js';
import type { Clock, MonotonicMs } from '../time/clock.js';
import type { Input, Sampled } from './sample.js';
import { steadyMean } from './steady-mean.js';

/** More than a pass of 10 Hz can bring; keeps a stalled reader from growing. */
const mostKept = 256;

/**
 * An input of the board's own converter. Counts come by themselves, several between two passes; their mean has
 * finer steps than one count as long as the noise is about half a count or more.
 */
export class AnalogChannel implements Input {
  readonly probe: ProbeId;
  private readonly fullScale: number;
  private kept: number[] = [];
  private lastAtMs: MonotonicMs | undefined;

  constructor(probe: ProbeId, input: AnalogInput, clock: Clock) {
    this.probe = probe;
    this.fullScale = input.fullScaleCounts + 1;
    input.onCounts((counts) => {
      if (this.kept.length >= mostKept) this.kept.shift();
      this.kept.push(counts);
      this.lastAtMs = clock.monotonicMs();
    });
  }

  take(): Sampled | undefined {
    const { kept, lastAtMs } = this;
    if (kept.length === 0 || lastAtMs === undefined) return undefined;
    this.kept = [];
    const { mean, noise, kept: taken, strays } = steadyMean(kept);
    return {
      probe: this.probe,
      atMs: lastAtMs,
      sample: {
        kind: 'counts',
        counts: mean + 0.5,
        fullScale: this.fullScale,
        noiseCounts: noise,
        taken,
        strays,
      },
    };
  }
}
