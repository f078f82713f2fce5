import { allEngines } from '../kit/engines.js';
import type { MonotonicMs } from '../time/clock.js';
import { believedC, faultAfterMs } from './channel-trust.js';
import { type EngineState, type EngineStates, engineStateOf } from './engine.js';
import { isCold, isFalling, isFiring, isHeld } from './exhaust-memory.js';
import { firstProbeState, type ProbeState } from './probe-state.js';
import { arrangementOf, type GuardSettings, type ProbeSettings } from './settings.js';

/** An engine that runs, or may: where nothing is known, only cold exhaust gas says that it does not. */
export const mayRun = ({ run, exhaust }: EngineState): boolean =>
  run.phase === 'running' || (run.phase === 'unsure' && !(exhaust && isCold(exhaust) && exhaust.c < 80));

/** An engine that runs as far as anything says: its input, or its gas where no input is wired. */
export const surelyRuns = ({ run, exhaust }: EngineState): boolean =>
  run.phase === 'running' || (run.phase === 'unsure' && exhaust !== undefined && exhaust.c > 100);

/**
 * Gas that contradicts an input that says stopped, s. While an elbow guards, such an input is believed for half an
 * hour, because metal keeps a gas probe hot. With the elbow lost nothing guards, so gas that does not fall counts after
 * 30 s, or after two minutes where idling gas is as warm: one cut cable can take both the elbow and the input.
 */
const firingDeniesAfterS = 30;
const heldDeniesAfterS = 120;

/** How long the gas of an engine has been like that of a running one although its input says stopped, s. */
export function stepGasDenies(beforeS: number, { run, exhaust }: EngineState, dtS: number): number {
  if (run.phase !== 'stopped' || !exhaust || isFalling(exhaust)) return 0;
  return isFiring(exhaust) || isHeld(exhaust) ? beforeS + dtS : 0;
}

/** A lost elbow that was warm says for so long that gas which is cold may be a probe that has fallen out, s. */
const warmElbowSpeaksForS = 3600;
/** An elbow so far above its water, or this warm where the water is not known, had a running engine or has cooled little. */
const warmOverSeaK = 15;
const warmElbowC = 40;

type Scene = {
  readonly probes: Readonly<Record<string, ProbeState>>;
  readonly engines: EngineStates;
  readonly settings: GuardSettings;
  readonly nowMs: MonotonicMs;
};

/** Whether an elbow at this temperature has been warmed by its engine. */
export function isWarmElbow(elbowC: number, { settings, probes, nowMs }: Omit<Scene, 'engines'>): boolean {
  const { sea } = arrangementOf(settings);
  const seaC = sea && believedC((probes[sea.id] ?? firstProbeState).channel, nowMs);
  return elbowC > (seaC === undefined ? warmElbowC : seaC + warmOverSeaK);
}

/** As `mayRun`, for an engine whose cooling no probe shows: then less is needed to say that it may run. */
export function mayRunUnseen(probe: ProbeSettings, scene: Scene, gasDeniesS: number): boolean {
  if (probe.engine === allEngines) return false;
  const engine = engineStateOf(scene.engines, probe.engine);
  if (mayRun(engine)) return true;
  if (engine.run.phase === 'stopped')
    return (
      gasDeniesS >= heldDeniesAfterS ||
      (gasDeniesS >= firingDeniesAfterS && engine.exhaust !== undefined && isFiring(engine.exhaust))
    );
  const { fastC, lastGoodAtMs } = (scene.probes[probe.id] ?? firstProbeState).channel;
  if (fastC === undefined || lastGoodAtMs === undefined) return false;
  const silentMs = scene.nowMs - lastGoodAtMs;
  return silentMs >= faultAfterMs && silentMs < warmElbowSpeaksForS * 1000 && isWarmElbow(fastC, scene);
}
