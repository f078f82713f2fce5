import { believedC } from './channel-trust.js';
import { engineStateOf } from './engine.js';
import type { GuardState } from './guard-state.js';
import { firstProbeState, type ProbeStates } from './probe-state.js';
import { arrangementOf, type GuardSettings, type ProbeSettings } from './settings.js';
import type { ReferenceProbe } from './stuck-detector.js';

/**
 * How far the reference probe must move before this one has to follow. Gas that moves by 60 K moves a cooled elbow by a kelvin or more
 * (0.02 K a kelvin where the water is most, in the plant model), several steps of a 10-bit converter. An elbow that
 * moves by 12 K on a running engine was moved by its gas; where it is not known whether the engine runs it must move further
 * than a warm hand could take it. Chosen for the bench's boats, no source.
 */
const gasMovesK = 60;
const elbowMovesK = { running: 12, unsure: 30 } as const;

/** The other probe of this exhaust, as it now is. None while the engine is known to be stopped: at rest nothing is proven. */
export function referenceProbeOf(
  probe: ProbeSettings,
  probes: ProbeStates,
  state: GuardState,
  settings: GuardSettings,
): ReferenceProbe | undefined {
  const reference = arrangementOf(settings).referenceProbeOf.get(probe.id);
  if (!reference) return undefined;
  const { phase } = engineStateOf(state.engines, probe.engine).run;
  if (phase === 'stopped') return undefined;
  const { channel } = probes[reference.id] ?? firstProbeState;
  // A reading that jumps is no reference.
  const temperatureC = channel.jumpSinceMs === undefined ? believedC(channel, state.atMs) : undefined;
  return { temperatureC, movesK: reference.place === 'wet-elbow' ? elbowMovesK[phase] : gasMovesK };
}
