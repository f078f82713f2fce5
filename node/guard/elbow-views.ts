import { allEngines } from '../kit/engines.js';
import type { MonotonicMs } from '../time/clock.js';
import { slopeCPerS } from './channel-state.js';
import { believedC, isSettling } from './channel-trust.js';
import { type AttachmentContext, isUnresponsive } from './detached-probe.js';
import type { ElbowView } from './elbow-view.js';
import { type EngineState, type EngineStates, engineStateOf } from './engine.js';
import type { GuardState } from './guard-state.js';
import type { ProbeState, ProbeStates } from './probe-state.js';
import { arrangementOf, type GuardSettings, type ProbeSettings } from './settings.js';
import { type Twin, trendAtRest } from './trend-detector.js';
import type { OtherElbow } from './unsteady-threshold.js';

/**
 * The other engine's elbow, if it is mounted alike, while it can be judged: one of which nothing was learned has no residual, and a lost
 * probe only the one of when it was lost.
 */
export function otherElbow(
  probe: ProbeSettings,
  before: ProbeStates,
  settings: GuardSettings,
  engineStates: EngineStates,
  nowMs: MonotonicMs,
): OtherElbow | undefined {
  const twin = arrangementOf(settings).twinOf.get(probe.id);
  const channel = twin && before[twin.id]?.channel;
  if (!twin?.baseline || !channel || believedC(channel, nowMs) === undefined) return undefined;
  const { run, exhaust } = engineStateOf(engineStates, twin.engine);
  if (run.phase !== 'running' || run.forS < settings.tuning.graceS) return undefined;
  const learned = before[twin.id]?.elbow?.learned;
  return learned && { meanK: learned.meanK, residualK: learned.residualK, exhaust, sinceStartS: run.forS };
}

/** What the trend detector may know of the other engine, while that runs. */
export function twinOf(
  probe: ProbeSettings,
  before: ProbeStates,
  settings: GuardSettings,
  engineStates: EngineStates,
): Twin | undefined {
  const other = arrangementOf(settings).twinOf.get(probe.id);
  if (!other) return undefined;
  const trend = before[other.id]?.elbow?.trend ?? trendAtRest;
  const { run, exhaust } = engineStateOf(engineStates, other.engine);
  if (run.phase !== 'running') return undefined;
  return { lastMinute: trend.lastMinute, sinceMinuteS: trend.sinceMinuteS, exhaustC: exhaust?.a };
}

/** What is known beside an elbow of whether its probe is still attached; nothing where nothing was learned. */
export function attachmentContextOf(
  probe: ProbeSettings,
  before: ProbeStates,
  heard: ProbeStates,
  settings: GuardSettings,
  engineStates: EngineStates,
  nowMs: MonotonicMs,
): AttachmentContext | undefined {
  if (!probe.baseline) return undefined;
  const { sea, twinOf } = arrangementOf(settings);
  const seaChannel = sea && heard[sea.id]?.channel;
  const twin = twinOf.get(probe.id);
  const twinAttachment = twin && before[twin.id]?.elbow?.attachment;
  return {
    baseline: probe.baseline,
    seaGood:
      seaChannel !== undefined &&
      !isSettling(seaChannel, nowMs) &&
      believedC(seaChannel, nowMs) !== undefined,
    otherResidualK: otherElbow(probe, before, settings, engineStates, nowMs)?.meanK,
    otherGasC: twin && slowGasOf(engineStateOf(engineStates, twin.engine)),
    otherUnresponsive:
      twinAttachment !== undefined && !twinAttachment.finding && isUnresponsive(twinAttachment),
  };
}

const slowGasOf = ({ run, exhaust }: EngineState): number | undefined =>
  run.phase === 'running' ? exhaust?.c : undefined;

export function viewOf(
  probe: ProbeSettings,
  now: ProbeState,
  heard: ProbeStates,
  engineStates: EngineStates,
  settings: GuardSettings,
  dtS: number,
): ElbowView | undefined {
  if (probe.engine === allEngines || now.channel.fastC === undefined) return undefined;
  const { run, exhaust, warmS, sinceThrottledBackS } = engineStateOf(engineStates, probe.engine);
  const { sea } = arrangementOf(settings);
  return {
    elbowC: now.channel.fastC,
    slopeCPerS: slopeCPerS(now.channel),
    seaC: sea && heard[sea.id]?.channel.slowC,
    exhaust,
    phase: run.phase,
    sinceStartS: run.forS,
    warmS,
    sinceThrottledBackS,
    allowedC: now.allowedC,
    mounting: probe.mounting,
    dtS,
  };
}

/** What the detectors see of one elbow in a state; for commissioning, which learns from exactly that. */
export function elbowViewOf(
  state: GuardState,
  probeId: string,
  settings: GuardSettings,
): (ElbowView & { readonly settling: boolean; readonly sure: boolean }) | undefined {
  const probe = settings.probes.find((p) => p.id === probeId);
  const now = state.probes[probeId];
  if (!probe || !now || believedC(now.channel, state.atMs) === undefined) return undefined;
  const view = viewOf(probe, now, state.probes, state.engines, settings, 0);
  if (!view || probe.engine === allEngines) return undefined;
  const { sure } = engineStateOf(state.engines, probe.engine).run;
  return { ...view, settling: isSettling(now.channel, state.atMs), sure };
}
