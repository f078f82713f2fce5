import { believedC } from './channel-trust.js';
import { engineStateOf } from './engine.js';
import type { GuardState } from './guard-state.js';
import { firstProbeState, type ProbeStates } from './probe-state.js';
import { arrangementOf, type GuardSettings, type ProbeSettings } from './settings.js';
import type { Witness } from './stuck-detector.js';

/**
 * How far a witness must go before a probe has to follow. Gas that goes 60 K moves a cooled elbow by a kelvin or more
 * (0.02 K a kelvin where the water is most, in the plant model), several steps of a 10-bit converter. An elbow that
 * goes 12 K on a running engine was moved by its gas; where it is not known whether the engine runs it must go further
 * than a warm hand could bring it. Chosen for the bench's boats, no source.
 */
const gasMovesK = 60;
const elbowMovesK = { running: 12, unsure: 30 } as const;

/** The other probe of this exhaust, as it now is. None while the engine is known to be stopped: at rest nothing is proven. */
export function witnessOf(
  probe: ProbeSettings,
  probes: ProbeStates,
  state: GuardState,
  settings: GuardSettings,
): Witness | undefined {
  const witness = arrangementOf(settings).witnessOf.get(probe.id);
  if (!witness) return undefined;
  const { phase } = engineStateOf(state.engines, probe.engine).run;
  if (phase === 'stopped') return undefined;
  const { channel } = probes[witness.id] ?? firstProbeState;
  // What a witness says while it jumps is no witness.
  const temperatureC = channel.jumpSinceMs === undefined ? believedC(channel, state.atMs) : undefined;
  return { temperatureC, movesK: witness.place === 'wet-elbow' ? elbowMovesK[phase] : gasMovesK };
}
