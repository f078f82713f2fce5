import type { MonotonicMs } from '../time/clock.js';
import { faultAfterMs } from './channel-trust.js';
import type { EngineState } from './engine.js';
import type { ProbeState } from './probe-state.js';
import { findsLoss } from './pump-detector.js';
import { isStuckUp, mostZeroKpa } from './pump-zero.js';
import { isUnchangedTooLong } from './response-proof.js';

/** A pressure that no zero error of a sound probe explains, so that the pump gives water whatever is known of its engine. */
const pushes = ({ pump }: ProbeState): boolean => (pump?.state.kpa ?? 0) > mostZeroKpa;

/** Whether its reading has not changed for so long that its input is stuck, or its port is blocked. */
export const isPressureUnchanged = (probe: ProbeState, engine: EngineState, nowMs: MonotonicMs): boolean =>
  isUnchangedTooLong(probe.channel, engine, pushes(probe), nowMs);

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
export function judgesPressure(probe: ProbeState, engine: EngineState, nowMs: MonotonicMs): boolean {
  const { phase } = engine.run;
  if (phase === 'unsure' || !reads(probe, nowMs) || isPressureUnchanged(probe, engine, nowMs)) return false;
  return phase === 'stopped' || (probe.pump !== undefined && findsLoss(probe.pump.state));
}

/**
 * Whether a pressure probe shows its engine's cooling: a loss would be found, or has been, or the pump surely gives water now.
 * Where nothing says whether the engine runs, pressure that goes is therefore a blindness, as a lost elbow is.
 */
export const showsPressure = (probe: ProbeState, engine: EngineState, nowMs: MonotonicMs): boolean =>
  judgesPressure(probe, engine, nowMs) ||
  (reads(probe, nowMs) &&
    !isPressureUnchanged(probe, engine, nowMs) &&
    (pushes(probe) || probe.pump?.state.found !== undefined));

/** Pressure that stays up although the engine is said to be stopped: its port is blocked, or the engine runs. */
export const pushesAtRest = ({ pump }: ProbeState): boolean => pump !== undefined && isStuckUp(pump.state);

/** Why a pressure that reads shows nothing; undefined where the reason is not its own. */
export function doubtAboutPressure({ pump }: ProbeState, { run }: EngineState): string | undefined {
  if (!pump) return undefined;
  if (isStuckUp(pump.state))
    return 'shows pressure although its running input says stopped: one of the two is wrong';
  if (run.phase === 'unsure') return 'gives no sure pressure, and nothing says whether its engine runs';
  if (findsLoss(pump.state)) return undefined;
  return 'gives too little to be distinguished from an error of its zero, which is taken while the engine is stopped for two minutes';
}
