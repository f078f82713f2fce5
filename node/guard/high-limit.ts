import type { Condition } from '../alerts/condition.js';
import { type ChannelState, slopeCPerS } from './channel-state.js';
import type { LatchLimit } from './latch.js';
import type { ProbeState } from './probe-state.js';
import { engineOfProbe, type ProbeSettings } from './settings.js';
import { elbowLimits } from './settings-from-kit.js';
import { stoppedElbowLimit, withAllowance } from './soak-allowance.js';

/**
 * Wet-exhaust hose is commonly rated for about 100 C (SAE J2006) or 121 C; common practice, the document was not read.
 * From here on an alarm is unacknowledged again.
 */
const hoseC = 100;

/** The limits this probe is judged by now; `allowedC` is what soaked-up heat allows it. */
export const limitsNow = (
  probe: ProbeSettings,
  stopped: boolean,
  allowedC: number | undefined,
): Pick<ProbeSettings, 'alarm' | 'warning'> => {
  if (stopped) return { alarm: withAllowance(stoppedElbowLimit, allowedC) };
  if (allowedC === undefined) return probe;
  const { alarm, warning } = probe;
  return {
    ...(alarm && { alarm: withAllowance(alarm, allowedC) }),
    ...(warning && { warning: withAllowance(warning, allowedC) }),
  };
};
/**
 * The limits while readings scatter as those of a loose connection do: a tight limit is passed by chance then, the standard one
 * in earnest. Judged by the middle of the last readings, not by each, and that has to stay above the limit for longer.
 */
export const limitsWhileScattered = (limits: ReturnType<typeof limitsNow>): ReturnType<typeof limitsNow> => {
  const alarm = limits.alarm && atLeast(limits.alarm, elbowLimits.alarm);
  const warning = limits.warning && atLeast(limits.warning, elbowLimits.warning);
  return { ...(alarm && { alarm }), ...(warning && { warning }) };
};

const atLeast = (limit: LatchLimit, standard: LatchLimit): LatchLimit => {
  const higher = limit.raiseAt >= standard.raiseAt ? limit : standard;
  return { ...higher, holdS: Math.max(higher.holdS, scatteredHoldS) };
};

/** The middle of five readings that scatter by 60 K passes a limit 45 K above by chance for a second and more, hardly for this, s. */
const scatteredHoldS = 5;

/** A passed limit of this probe, the more severe of the two. `stopped` as for the readings that have just been judged. */
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

/** A limit that moves with soaked-up heat has decimals. */
const degrees = (limitC: number): string => `${Math.round(limitC * 10) / 10} C`;

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
  const comparison =
    beyondK >= 0
      ? `${beyondK.toFixed(1)} K above its ${priority} limit of ${degrees(limit.raiseAt)}`
      : `not yet below ${degrees(limit.clearAt)} since it passed its ${priority} limit of ${degrees(limit.raiseAt)}`;
  return {
    situation: elbow ? 'cooling' : 'high-limit',
    subject: elbow ? probe.engine : probe.id,
    rule: probe.place === 'engine-room' ? 'engine-room-hot' : 'high-limit',
    priority,
    probe: probe.id,
    ...engineOfProbe(probe),
    message: `${probe.name} is at ${temperatureC.toFixed(1)} C, ${comparison}.`,
    evidence: {
      values: { temperatureC, riseCPerS: slopeCPerS(channel) },
      thresholds: { raiseAtC: limit.raiseAt, holdS: limit.holdS },
      roomC: limit.raiseAt - temperatureC,
    },
    nowC: steadyC,
    ...(priority === 'alarm' && { beyond: elbow && steadyC >= hoseC ? 2 : 1 }),
  };
}
