import type { Condition } from '../alerts/condition.js';
import { type ChannelState, slopeCPerS } from './channel.js';
import type { LatchLimit } from './latch.js';
import type { ProbeState } from './probe-state.js';
import { engineOfProbe, type ProbeSettings } from './settings.js';
import { stoppedElbowLimit, withAllowance } from './soak-allowance.js';

/**
 * Wet-exhaust hose is commonly rated for about 100 C (SAE J2006) or 121 C; common practice, the document was not read.
 * From here on an alarm is unacknowledged again.
 */
const hoseC = 100;

/** The limits this probe is judged by now; `allowedC` is what soaked-up heat allows it. */
export const limitsNow = (
  { alarm, warning }: ProbeSettings,
  stopped: boolean,
  allowedC: number | undefined,
): { readonly alarm?: LatchLimit; readonly warning?: LatchLimit } =>
  stopped
    ? { alarm: stoppedElbowLimit }
    : {
        ...(alarm && { alarm: withAllowance(alarm, allowedC) }),
        ...(warning && { warning: withAllowance(warning, allowedC) }),
      };

/** A passed limit of this probe, the graver of the two. `stopped` as for the readings that have just been judged. */
export function highLimit(
  probe: ProbeSettings,
  { channel, alarm, warning, allowedC }: ProbeState,
  stopped: boolean,
): Condition | undefined {
  const limits = limitsNow(probe, stopped, allowedC);
  if (alarm.on) return passed(probe, channel, 'alarm', limits.alarm);
  if (warning.on) return passed(probe, channel, 'warning', limits.warning ?? probe.warning);
  return undefined;
}

function passed(
  probe: ProbeSettings,
  channel: ChannelState,
  priority: 'alarm' | 'warning',
  limit: LatchLimit = stoppedElbowLimit,
): Condition {
  const temperatureC = channel.lastGoodC ?? limit.raiseAt;
  const steadyC = channel.fastC ?? temperatureC;
  const elbow = probe.place === 'wet-elbow';
  const beyondK = temperatureC - limit.raiseAt;
  const said =
    beyondK >= 0
      ? `${beyondK.toFixed(1)} K above its ${priority} limit of ${limit.raiseAt} C`
      : `not yet below ${limit.clearAt} C since it passed its ${priority} limit of ${limit.raiseAt} C`;
  return {
    situation: elbow ? 'cooling' : 'high-limit',
    subject: elbow ? probe.engine : probe.id,
    rule: probe.place === 'engine-room' ? 'engine-room-hot' : 'high-limit',
    priority,
    probe: probe.id,
    ...engineOfProbe(probe),
    message: `${probe.name} is at ${temperatureC.toFixed(1)} C, ${said}.`,
    evidence: {
      values: { temperatureC, riseCPerS: slopeCPerS(channel) },
      thresholds: { raiseAtC: limit.raiseAt, holdS: limit.holdS },
      roomC: limit.raiseAt - temperatureC,
    },
    nowC: steadyC,
    ...(priority === 'alarm' && { beyond: elbow && steadyC >= hoseC ? 2 : 1 }),
  };
}
