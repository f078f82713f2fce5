import type { Input, Sampled } from '../input/sample.js';
import type { Engine } from '../kit/engines.js';
import type { Clock, MonotonicMs } from '../time/clock.js';
import type { BuzzerCurrentInput } from './buzzer-current.js';
import type { ReferenceVerdict } from './reference-pin.js';

/** Levels of the running inputs by engine, true is running; absent where none is wired or none is known yet. */
export type Running = Readonly<Record<Engine, boolean>>;

/** Everything that was sensed since the pass before. */
export type Sensed = {
  readonly atMs: MonotonicMs;
  readonly board: 'connected' | 'connecting' | 'lost';
  readonly sampled: readonly Sampled[];
  readonly running: Running;
  readonly referencePin: ReferenceVerdict | 'none';
  /** Mean current through the buzzer since the pass before, mA; absent where it is not wired or not read. */
  readonly buzzerMilliamps?: number;
  /** True when every channel and the reference pin gave readings lately: only then may the heartbeat run. */
  readonly complete: boolean;
};

export type SensesParts = {
  readonly channels: readonly Input[];
  readonly board: () => Sensed['board'];
  readonly running: () => Running;
  readonly referencePin: () => ReferenceVerdict | 'none';
  /** The current through the buzzer, where that is wired. */
  readonly buzzer?: Pick<BuzzerCurrentInput, 'take' | 'isSilent'> | undefined;
  readonly clock: Clock;
};

/** Longer than a working channel is silent: a chip that does not answer is polled every 2 s and still gives a `nothing`. */
export const staleAfterMs = 4_000;
/** A board that has just come needs its chips set up and its first conversions made, on a slow computer too. */
export const firstWordWithinMs = 10_000;

/** Gathers the channels pass by pass and says which have fallen silent. */
export class Senses {
  private readonly parts: SensesParts;
  private readonly sampledAtMs = new Map<string, MonotonicMs>();
  private awake = false;
  private awakeSinceMs: MonotonicMs;

  constructor(parts: SensesParts) {
    this.parts = parts;
    this.awakeSinceMs = parts.clock.monotonicMs();
  }

  take(): Sensed {
    const { channels, clock } = this.parts;
    const atMs = clock.monotonicMs();
    const board = this.parts.board();
    const connected = board === 'connected';
    if (connected && !this.awake) {
      this.awakeSinceMs = atMs;
      this.sampledAtMs.clear();
    }
    this.awake = connected;

    const taken = channels.map((channel) => ({ channel, sampled: channel.take() }));
    const referencePin = this.parts.referencePin();
    const buzzerMilliamps = this.parts.buzzer?.take();
    const sampled = taken.flatMap(({ channel, sampled }): Sampled[] => {
      if (!connected) return [nothing(channel, atMs, 'board-away', 'the board is disconnected')];
      if (sampled) {
        this.sampledAtMs.set(channel.probe, sampled.atMs);
        return [referencePin === 'off' ? { ...sampled, referencePinOff: true } : sampled];
      }
      return this.isSilent(channel, atMs)
        ? [nothing(channel, atMs, 'stale', `nothing for more than ${staleAfterMs / 1000} s`)]
        : [];
    });
    return {
      atMs,
      board,
      sampled,
      running: connected ? this.parts.running() : {},
      referencePin: connected ? referencePin : 'none',
      ...(connected && buzzerMilliamps !== undefined && { buzzerMilliamps }),
      complete:
        connected &&
        !this.parts.buzzer?.isSilent &&
        referencePin !== 'silent' &&
        channels.every((channel) => this.sampledAtMs.has(channel.probe) && !this.isSilent(channel, atMs)),
    };
  }

  private isSilent(channel: Input, atMs: MonotonicMs): boolean {
    const sampledAtMs = this.sampledAtMs.get(channel.probe);
    return sampledAtMs === undefined
      ? atMs - this.awakeSinceMs > firstWordWithinMs
      : atMs - sampledAtMs > staleAfterMs;
  }
}

const nothing = (
  channel: Input,
  atMs: MonotonicMs,
  reason: 'stale' | 'board-away',
  detail: string,
): Sampled => ({
  probe: channel.probe,
  atMs,
  sample: { kind: 'nothing', reason, detail },
});
