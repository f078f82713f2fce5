import type { MonotonicMs } from '../time/clock.js';
import { believedC, isSettling } from './channel-trust.js';
import { elbowAtRest, stepElbow } from './elbow.js';
import { attachmentContextOf, otherElbow, twinOf, viewOf } from './elbow-views.js';
import type { EngineStates } from './engine.js';
import { found } from './found.js';
import type { ProbeState, ProbeStates } from './probe-state.js';
import type { GuardSettings } from './settings.js';
import { elbowLimits } from './settings-from-kit.js';

/** Steps the detectors of each elbow whose reading can be believed; the others keep what they know. */
export function judgeElbows(
  before: ProbeStates,
  heard: ProbeStates,
  engineStates: EngineStates,
  settings: GuardSettings,
  nowMs: MonotonicMs,
  dtS: number,
): ProbeStates {
  const probes: Record<string, ProbeState> = { ...heard };
  for (const probe of settings.probes) {
    const now = heard[probe.id];
    if (probe.place !== 'wet-elbow' || !now || isSettling(now.channel, nowMs)) continue;
    if (believedC(now.channel, nowMs) === undefined) continue;
    const view = viewOf(probe, now, heard, engineStates, settings, dtS);
    if (!view) continue;
    const elbow = stepElbow(now.elbow ?? elbowAtRest, view, {
      limitC: probe.warning?.raiseAt ?? elbowLimits.warning.raiseAt,
      baseline: probe.baseline,
      bounds: probe.bounds,
      other: otherElbow(probe, before, settings, engineStates, nowMs),
      twin: twinOf(probe, before, settings, engineStates),
      attachment: attachmentContextOf(probe, before, heard, settings, engineStates, nowMs),
      tuning: settings.tuning,
    });
    probes[probe.id] = { ...now, elbow };
  }
  return probes;
}

/** The believed elbows that a divider reads, C. */
export const dividedElbows = (
  heard: ProbeStates,
  settings: GuardSettings,
  nowMs: MonotonicMs,
): readonly number[] =>
  found(settings.probes, ({ id, place, input }) => {
    const channel = place === 'wet-elbow' && input === 'divider' ? heard[id]?.channel : undefined;
    return channel && believedC(channel, nowMs);
  });
