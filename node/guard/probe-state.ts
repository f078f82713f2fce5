import { type ChannelState, silentChannel } from './channel.js';
import type { ElbowState } from './elbow.js';
import { clearedLatch, type Latch } from './latch.js';

export type ProbeState = {
  readonly channel: ChannelState;
  readonly alarm: Latch;
  readonly warning: Latch;
  /** Standard uncertainty of its last good reading, C. */
  readonly uncertaintyC?: number;
  /** How hot soaked-up heat lets the elbow be after a start, C; see `soak-allowance.ts`. */
  readonly allowedC: number | undefined;
  /** Only for wet elbows. */
  readonly elbow: ElbowState | undefined;
};

export const firstProbeState: ProbeState = {
  channel: silentChannel,
  alarm: clearedLatch,
  warning: clearedLatch,
  allowedC: undefined,
  elbow: undefined,
};
