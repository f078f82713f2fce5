import type { MonotonicMs } from '../time/clock.js';
import { standsStill } from './answering.js';
import { faultAfterMs } from './channel-trust.js';
import type { EngineState } from './engine.js';
import type { ProbeState } from './probe-state.js';
import { isStuckUp, mostZeroKpa } from './pump-detector.js';

/** A pressure that no zero error of a sound probe explains, so that the pump gives water whatever is known of its engine. */
const pushes = ({ pump }: ProbeState): boolean => (pump?.state.kpa ?? 0) > mostZeroKpa;

/** Whether it has said the very same for so long that its input hangs, or its port is blocked. */
export const isStillPressure = (probe: ProbeState, engine: EngineState, nowMs: MonotonicMs): boolean =>
  standsStill(probe.channel, engine, pushes(probe), nowMs);

/** Whether a pressure probe has read lately, and not what cannot be. */
const reads = ({ pump, channel }: ProbeState, nowMs: MonotonicMs): boolean =>
  pump !== undefined &&
  channel.lastGoodAtMs !== undefined &&
  nowMs - channel.lastGoodAtMs < faultAfterMs &&
  !isStuckUp(pump.state);

/**
 * Whether a loss of this pressure would be found in this pass. Without a running input that says so, a stopped engine and
 * a lost flow look alike to the pump: the detector then finds a loss only while hot gas speaks for the engine.
 */
export const judgesPressure = (probe: ProbeState, engine: EngineState, nowMs: MonotonicMs): boolean =>
  engine.run.phase !== 'unsure' && reads(probe, nowMs) && !isStillPressure(probe, engine, nowMs);

/**
 * Whether a pressure probe shows its engine's cooling: a loss would be found, or has been, or the pump surely gives water now.
 * Where nothing says whether the engine runs, pressure that goes is therefore a blindness, as a lost elbow is.
 */
export const showsPressure = (probe: ProbeState, engine: EngineState, nowMs: MonotonicMs): boolean =>
  judgesPressure(probe, engine, nowMs) ||
  (reads(probe, nowMs) &&
    !isStillPressure(probe, engine, nowMs) &&
    (pushes(probe) || probe.pump?.state.found !== undefined));
