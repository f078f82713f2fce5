import { type ChannelState, slopeCPerS } from './channel.js';
import type { Condition } from './condition.js';
import type { ProbeState } from './guard-state.js';
import type { ProbeSettings } from './settings.js';

/**
 * A stopped engine's elbow soaks up heat from the manifold, to 91 C in the worst simulated case, and that is normal.
 * Above this, held for long, it is not; and a hot dip in boiling water must sound with the engine off.
 */
export const stoppedElbowLimit = { raiseAt: 93, clearAt: 88, holdS: 5 } as const;

/** A passed limit of this probe, the graver of the two. */
export function highLimit(
  probe: ProbeSettings,
  { channel, alarm, warning }: ProbeState,
): Condition | undefined {
  if (alarm.on) return passed(probe, channel, 'alarm');
  if (warning.on) return passed(probe, channel, 'warning');
  return undefined;
}

function passed(probe: ProbeSettings, channel: ChannelState, priority: 'alarm' | 'warning'): Condition {
  const limit = probe[priority] ?? stoppedElbowLimit;
  const temperatureC = channel.lastGoodC ?? limit.raiseAt;
  const elbow = probe.place === 'wet-elbow';
  return {
    situation: elbow ? 'cooling' : 'high-limit',
    subject: elbow ? probe.engine : probe.id,
    rule: 'high-limit',
    priority,
    probe: probe.id,
    ...(probe.engine !== 'both' && { engine: probe.engine }),
    message: `${probe.name} is at ${temperatureC.toFixed(1)} C, its ${priority} limit is ${limit.raiseAt} C.`,
    evidence: {
      values: { temperatureC, riseCPerS: slopeCPerS(channel) },
      thresholds: { raiseAtC: limit.raiseAt, holdS: limit.holdS },
      roomC: limit.raiseAt - temperatureC,
    },
  };
}
