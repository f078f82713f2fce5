import { type Reading, temperatureOf } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import { takeReading } from './channel.js';
import { isScattered } from './channel-trust.js';
import { middleC } from './channel-window.js';
import { isStopped } from './conditions.js';
import { engineStateOf } from './engine.js';
import { fallsAsHotMetal, isAboveIdle } from './exhaust-memory.js';
import type { GuardState } from './guard-state.js';
import { limitsNow, limitsWhileScattered } from './high-limit.js';
import { clearedLatch, stepLatch } from './latch.js';
import { firstProbeState, type ProbeState, type ProbeStates } from './probe-state.js';
import { referenceProbeOf } from './reference-probe.js';
import { metalShowsS } from './running.js';
import { arrangementOf, type GuardSettings, type ProbeSettings } from './settings.js';
import { soakAllowance } from './soak-allowance.js';

/** Takes the readings into channels and limits. Readings of probes the settings do not know are left alone. */
export function takeReadings(
  state: GuardState,
  input: { readonly nowMs: MonotonicMs; readonly readings: readonly Reading[] },
  settings: GuardSettings,
): ProbeStates {
  const probes: Record<string, ProbeState> = {};
  for (const probe of settings.probes) {
    const before = state.probes[probe.id] ?? firstProbeState;
    const stopped = isStopped(probe, state);
    const allowedC = allowedOf(probe, before, stopped, state, input.nowMs);
    const warning = stopped && before.warning.on ? clearedLatch : before.warning;
    probes[probe.id] =
      warning === before.warning && allowedC === before.allowedC ? before : { ...before, warning, allowedC };
  }
  const { indexOf } = arrangementOf(settings);
  for (const reading of input.readings) {
    const probe = settings.probes[indexOf.get(reading.probe) ?? -1];
    if (!probe) continue;
    const before = probes[probe.id] ?? firstProbeState;
    const channel = takeReading(
      before.channel,
      reading,
      probe.place,
      referenceProbeOf(probe, probes, state, settings),
    );
    let { alarm, warning, uncertaintyC } = before;
    const { result } = reading;
    if (result.kind === 'measured' && result.quantity === 'temperature') ({ uncertaintyC } = result);
    const temperatureC = temperatureOf(reading);
    if (temperatureC !== undefined && (probe.alarm || probe.warning || probe.place === 'wet-elbow')) {
      const stopped = isStopped(probe, state);
      const scattered =
        probe.place === 'wet-elbow' &&
        !stopped &&
        !alarm.on &&
        !warning.on &&
        isScattered(channel, reading.readAtMs);
      const usual = limitsNow(probe, stopped, before.allowedC);
      const limits = scattered ? limitsWhileScattered(usual) : usual;
      const judgedC = scattered ? middleC(channel) : temperatureC;
      // Holds are measured by when the readings were made, and never over a gap.
      const { lastGoodAtMs, missingSinceMs } = before.channel;
      const mostS = missingSinceMs === undefined ? 2 : mostAfterMissingS;
      const sinceS =
        lastGoodAtMs === undefined ? 0 : Math.min(mostS, (reading.readAtMs - lastGoodAtMs) / 1000);
      if (limits.alarm) alarm = stepLatch(alarm, judgedC, limits.alarm, sinceS);
      if (limits.warning) warning = stepLatch(warning, judgedC, limits.warning, sinceS);
    }
    // Field by field and not spread: this runs for every reading, and a fixed shape is several times as fast.
    probes[probe.id] = {
      channel,
      alarm,
      warning,
      uncertaintyC,
      allowedC: before.allowedC,
      elbow: before.elbow,
      pump: before.pump,
    };
  }
  return probes;
}

/** What a reading after missing ones adds to a hold at the most, s: two wild ones on either side of a gap are no second. */
const mostAfterMissingS = 0.5;

/** What soaked-up heat allows this elbow now; nothing for any other probe. */
function allowedOf(
  probe: ProbeSettings,
  { allowedC, channel }: ProbeState,
  stopped: boolean,
  state: GuardState,
  nowMs: MonotonicMs,
): number | undefined {
  if (probe.place !== 'wet-elbow') return undefined;
  const { run, warmS, exhaust } = engineStateOf(state.engines, probe.engine);
  const dtS = Math.max(0, nowMs - state.atMs) / 1000;
  const metalCools = run.seenOffS !== undefined && run.coolingS >= metalShowsS;
  const metalHot =
    metalCools &&
    exhaust !== undefined &&
    isAboveIdle(exhaust, probe.baseline?.gasC) &&
    fallsAsHotMetal(exhaust);
  const { fastC: elbowC } = channel;
  return soakAllowance(allowedC, {
    stopped,
    metalCools,
    metalHot,
    elbowC,
    runningForS: run.forS,
    warmS,
    dtS,
  });
}
