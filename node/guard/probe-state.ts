import { type ChannelState, silentChannel } from './channel.js';
import type { ElbowState } from './elbow.js';
import { clearedLatch, type Latch } from './latch.js';

export type ProbeState = {
  readonly channel: ChannelState;
  readonly alarm: Latch;
  readonly warning: Latch;
  /** Standard uncertainty of its last good reading, C. */
  readonly uncertaintyC?: number;
  /** Only for wet elbows. */
  readonly elbow: ElbowState | undefined;
};

export const firstProbeState: ProbeState = {
  channel: silentChannel,
  alarm: clearedLatch,
  warning: clearedLatch,
  elbow: undefined,
};
