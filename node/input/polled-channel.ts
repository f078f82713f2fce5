import type { ProbeId } from '../reading/reading.js';
import type { Clock } from '../time/clock.js';
import type { Turn } from './bus-turn.js';
import type { Input, Sample, Sampled } from './sample.js';

export type PolledOptions = {
  readonly probe: ProbeId;
  /**
   * One request to the chip. A chip that does not answer gives a `nothing` sample; one that has nothing new gives
   * undefined, so that no value counts twice. One that throws is a chip that did not answer.
   */
  readonly ask: () => Promise<Sample | undefined>;
  readonly clock: Clock;
  readonly everyMs: number;
  /** Shared by all chips on one bus. */
  readonly turn?: Turn;
};

/** A silent chip is polled less and less often, so that it takes no bus time from the others. */
const longestPauseMs = 2_000;

/** A chip that must be polled, at its own rate; the bus takes the requests one after the other. */
export class PolledChannel implements Input {
  readonly probe: ProbeId;
  private readonly options: PolledOptions;
  private kept: Sampled | undefined;
  private pauseMs: number;
  private timer: NodeJS.Timeout | undefined;
  private stopped = false;

  constructor(options: PolledOptions) {
    this.probe = options.probe;
    this.options = options;
    this.pauseMs = options.everyMs;
    void this.ask();
  }

  take(): Sampled | undefined {
    const { kept } = this;
    this.kept = undefined;
    return kept;
  }

  stop(): void {
    this.stopped = true;
    clearTimeout(this.timer);
  }

  private async answer(): Promise<Sample | undefined> {
    try {
      const { ask, turn } = this.options;
      return await (turn ? turn(ask) : ask());
    } catch (error) {
      return notAsked(error);
    }
  }

  private async ask(): Promise<void> {
    const { clock, everyMs } = this.options;
    const askedAtMs = clock.monotonicMs();
    const sample = await this.answer();
    if (this.stopped) return;
    if (sample) this.kept = { probe: this.probe, atMs: clock.monotonicMs(), sample };
    const silent = sample?.kind === 'nothing' && sample.reason === 'no-answer';
    this.pauseMs = silent ? Math.min(longestPauseMs, this.pauseMs * 2) : everyMs;
    const tookMs = clock.monotonicMs() - askedAtMs;
    this.timer = setTimeout(() => void this.ask(), Math.max(1, this.pauseMs - tookMs));
  }
}

const notAsked = (error: unknown): Sample => ({
  kind: 'nothing',
  reason: 'no-answer',
  detail: `It could not be asked: ${(error as Error).message}`,
});
