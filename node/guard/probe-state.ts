import type { MonotonicMs } from '../time/clock.js';
import { type ChannelState, silentChannel } from './channel-state.js';
import type { ElbowState } from './elbow.js';
import { clearedLatch, type Latch } from './latch.js';
import type { PumpState } from './pump-state.js';

export type ProbeState = {
  readonly channel: ChannelState;
  readonly alarm: Latch;
  readonly warning: Latch;
  /** Standard uncertainty of its last good reading, C. */
  readonly uncertaintyC: number | undefined;
  /** How hot soaked-up heat lets the elbow be after a start, C; see `soak-allowance.ts`. */
  readonly allowedC: number | undefined;
  /** Only for wet elbows. */
  readonly elbow: ElbowState | undefined;
  /** Only for pressure behind a raw-water pump, from the first reading on, and when that was. */
  readonly pump: { readonly state: PumpState; readonly atMs: MonotonicMs } | undefined;
};

/** The states of all probes, by their ids. */
export type ProbeStates = Readonly<Record<string, ProbeState>>;

export const firstProbeState: ProbeState = {
  channel: silentChannel,
  alarm: clearedLatch,
  warning: clearedLatch,
  allowedC: undefined,
  elbow: undefined,
  uncertaintyC: undefined,
  pump: undefined,
};
