import type { AlertRow, ProbeCard } from '../../node/index.js';
import type { AlertHistory } from '../store/index.js';

type Limit = NonNullable<ProbeCard['limits']['alarm']>;
type Track = { readonly at: Float64Array; readonly temperatureC: Float64Array };

/** Where a high limit with its hold time would have stood, as the history an alert leaves behind. */
export const highLimitSpells = (
  node: string,
  probe: ProbeCard,
  priority: 'alarm' | 'warning',
  { at, temperatureC }: Track,
): readonly AlertHistory[] => {
  const limit = probe.limits[priority];
  if (!limit) return [];
  return spells(limit, { at, temperatureC }).map(({ raisedAt, endedAt, temperatureC: reached }) => {
    const alert: AlertRow = {
      id: `high-limit:${probe.id}`,
      rule: 'high-limit',
      priority,
      state: 'rectified',
      probe: probe.id,
      ...(probe.engine !== 'both' && { engine: probe.engine }),
      since: raisedAt,
      rectifiedAt: endedAt,
      message: `${probe.name} at ${limit.raiseAtC} °C and above, up to ${reached.toFixed(0)} °C (invented season).`,
      evidence: { values: { greatestC: reached }, thresholds: { raiseAtC: limit.raiseAtC } },
      actions: [],
    };
    return {
      node,
      alert,
      raisedAt,
      endedAt,
      history: [
        { at: raisedAt, alert: { ...alert, state: 'unacknowledged' } },
        { at: endedAt, alert },
      ],
    };
  });
};

const spells = ({ raiseAtC, clearAtC, holdS }: Limit, { at, temperatureC }: Track) => {
  const found: { raisedAt: number; endedAt: number; temperatureC: number }[] = [];
  let aboveSince: number | undefined;
  let standing: { raisedAt: number; reached: number } | undefined;
  temperatureC.forEach((t, i) => {
    const time = at[i] ?? 0;
    aboveSince = t >= raiseAtC ? (aboveSince ?? time) : undefined;
    if (!standing && aboveSince !== undefined && time - aboveSince >= holdS * 1000)
      standing = { raisedAt: time, reached: t };
    if (standing) standing.reached = Math.max(standing.reached, t);
    if (standing && t <= clearAtC) {
      found.push({ raisedAt: standing.raisedAt, endedAt: time, temperatureC: standing.reached });
      standing = undefined;
    }
  });
  return found;
};
