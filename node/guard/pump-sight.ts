import type { MonotonicMs } from '../time/clock.js';
import { faultAfterMs } from './channel-trust.js';
import type { ProbeState } from './probe-state.js';
import { isStuckUp } from './pump-detector.js';

/** Whether a pressure probe shows its engine's cooling: it has read lately, and not what cannot be. */
export const showsPressure = ({ pump, channel }: ProbeState, nowMs: MonotonicMs): boolean =>
  pump !== undefined &&
  channel.lastGoodAtMs !== undefined &&
  nowMs - channel.lastGoodAtMs < faultAfterMs &&
  !isStuckUp(pump.state);
