import type { AnalogInput } from '../bus/analog-input.js';
import type { BuzzerCurrentWiring } from '../kit/buzzer-current.js';
import type { Clock, MonotonicMs } from '../time/clock.js';

const staleAfterMs = 4_000;

/** The current through the buzzer's shunt, as the mean of everything that arrived since it was last asked. */
export class BuzzerCurrentInput {
  private readonly wiring: BuzzerCurrentWiring;
  private readonly input: AnalogInput;
  private readonly clock: Clock;
  private sum = 0;
  private taken = 0;
  private lastAtMs: MonotonicMs;

  constructor(input: AnalogInput, wiring: BuzzerCurrentWiring, clock: Clock) {
    this.wiring = wiring;
    this.input = input;
    this.clock = clock;
    this.lastAtMs = clock.monotonicMs();
    input.onCounts((counts) => {
      this.sum += counts;
      this.taken++;
      this.lastAtMs = clock.monotonicMs();
    });
  }

  /** In mA; undefined when nothing has arrived since. */
  take(): number | undefined {
    const { sum, taken, wiring, input } = this;
    this.sum = this.taken = 0;
    if (taken === 0) return undefined;
    const counts = sum / taken;
    const volts = ((counts + 0.5) / (input.fullScaleCounts + 1)) * wiring.supplyVolts;
    return (volts / wiring.shuntOhms) * 1000;
  }

  get isSilent(): boolean {
    return this.clock.monotonicMs() - this.lastAtMs > staleAfterMs;
  }
}
