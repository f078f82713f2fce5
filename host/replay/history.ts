import type { Engine, Quality } from '../../node/index.js';

/** Readings of one channel side by side, in order of time. */
export type ChannelHistory = {
  readonly channel: string;
  /** Wall milliseconds. */
  readonly at: Float64Array;
  /** Means something only where the quality is good. */
  readonly temperatureC: Float64Array;
  readonly quality: readonly Quality[] | 'all good';
};

export type RunSpan = { readonly startAt: number; readonly endAt: number };

/** What a replay runs over, from wherever it came. */
export type RecordedHistory = {
  readonly channels: readonly ChannelHistory[];
  /** When each engine's running input was on, in order; absent where nothing is known of it. */
  readonly runSpans: Readonly<Record<Engine, readonly RunSpan[]>>;
};
