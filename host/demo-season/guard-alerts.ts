import { type AlertRow, allEngines, type GuardSettings, type ProbeCard } from '../../node/index.js';
import { replay } from '../replay/replay.js';
import type { AlertHistory } from '../store/index.js';
import type { Sailed } from './simulate-voyage.js';

/** What the node's own guard would have raised on this voyage, as the history its alerts leave behind. */
export const guardAlerts = (
  node: string,
  probes: readonly ProbeCard[],
  { at, byProbe, startAt, ran }: Sailed,
  settings: GuardSettings,
): readonly AlertHistory[] => {
  const span = { startAt: startAt + ran.fromS * 1000, endAt: startAt + ran.toS * 1000 };
  const histories = [...byProbe].map(([probe, temperatureC]) => ({
    probe,
    at,
    temperatureC,
    quality: 'all good' as const,
  }));
  const { alerts } = replay(
    { probes: histories, runSpans: Object.fromEntries(settings.engines.map(({ id }) => [id, [span]])) },
    settings,
  );
  return alerts.map(({ at: raisedAt, about, rectifiedAt, message, ...raised }) => {
    const endedAt = rectifiedAt ?? at.at(-1) ?? raisedAt;
    const card = probes.find(({ id }) => id === about);
    const engine = card?.engine ?? (settings.engines.some(({ id }) => id === about) ? about : undefined);
    const { id, rule, priority, evidence, actions } = raised;
    const alert: AlertRow = {
      ...{ id, rule, priority, evidence, actions },
      state: 'rectified',
      ...(card && { probe: card.id }),
      ...(engine !== undefined && engine !== allEngines && { engine }),
      since: raisedAt,
      rectifiedAt: endedAt,
      message: `${message} (invented season)`,
    };
    const history = [
      { at: raisedAt, alert: { ...alert, state: 'unacknowledged' as const } },
      { at: endedAt, alert },
    ];
    return { node, alert, raisedAt, endedAt, history };
  });
};
