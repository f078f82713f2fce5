import { type AlertRow, type Priority, priorities } from '../../../node/index.js';
import type { NodeNow } from '../../live/live-source.js';
import type { Change } from './message.js';

/** What has been reported so far; plain JSON, kept over a restart so that nothing is sent twice or forgotten. */
export type Reported = {
  /** `node alertId` to the alert as it was reported, with the state it has had since. */
  readonly alerts: Readonly<Record<string, { readonly node: string; readonly alert: AlertRow }>>;
  /** Nodes that were reported as silent. */
  readonly silent: readonly string[];
};

export const nothingReported: Reported = { alerts: {}, silent: [] };

const gravity = (priority: Priority) => priorities.length - priorities.indexOf(priority);

/** An alert whose condition is active; a rectified one only waits for somebody to read it. */
const isActive = (alert: AlertRow) => alert.state !== 'rectified';

/**
 * What people were called for. Message and rule follow what is true now, but the evidence stays that of the call, so
 * another one is another call: the condition has become a step more severe, or severe again after it had eased, or something
 * joined it. Two calls with the same measured numbers to the last digit would be taken for one.
 */
const calledFor = ({ evidence }: AlertRow) => JSON.stringify(evidence);

const worthTelling = (alert: AlertRow, least: Priority) => gravity(alert.priority) >= gravity(least);

const hasGrown = (alert: AlertRow, before: AlertRow) =>
  gravity(alert.priority) > gravity(before.priority) || calledFor(alert) !== calledFor(before);

/**
 * Sounding again after someone acknowledged or shelved it is news even with the same numbers, as where nothing has any: a
 * second blindness, another fault of the buzzer.
 */
const soundsAgain = (alert: AlertRow, before: AlertRow) =>
  before.state === 'acknowledged' && alert.state === 'unacknowledged';

/** A step keeps its alert's time. One that begins later is another: the first ended while the host was down. */
const anotherAfterMs = 1000;

/** What changed among the alerts of one node, against what was reported. `alerts` are all that the node still shows. */
export const alertChanges = (
  reported: Reported,
  from: { readonly node: string; readonly alerts: readonly AlertRow[]; readonly at: number },
  least: Priority,
): { readonly reported: Reported; readonly changes: readonly Change[] } => {
  const { node, at } = from;
  const alerts = { ...reported.alerts };
  const changes: Change[] = [];
  const active = new Map(from.alerts.filter(isActive).map((alert) => [`${node} ${alert.id}`, alert]));
  for (const [key, alert] of active) {
    const before = alerts[key];
    const grown = before && hasGrown(alert, before.alert);
    if (before && !grown && !soundsAgain(alert, before.alert)) {
      alerts[key] = { node, alert: { ...before.alert, state: alert.state } };
      continue;
    }
    if (!worthTelling(alert, least)) continue;
    const worse = grown && alert.since - before.alert.since < anotherAfterMs;
    changes.push({ kind: worse ? 'worse' : 'raised', node, at, alert });
    alerts[key] = { node, alert };
  }
  for (const [key, before] of Object.entries(alerts)) {
    if (before.node !== node || active.has(key)) continue;
    // A rectified alert says how far it went; one that is gone can only be named as it was reported.
    const over = from.alerts.find((alert) => `${node} ${alert.id}` === key);
    changes.push({ kind: 'ended', node, at, alert: over ?? before.alert });
    delete alerts[key];
  }
  return { reported: { ...reported, alerts }, changes };
};

/** Nodes that have sent nothing for `silentS`, and those that send again. A node that sent nothing since the start counts from the start. */
export const silenceChanges = (
  reported: Reported,
  nodes: readonly Pick<NodeNow, 'node' | 'connected' | 'lastHeardAt'>[],
  times: { readonly nowMs: number; readonly startedAtMs: number; readonly silentS: number },
): { readonly reported: Reported; readonly changes: readonly Change[] } => {
  const silent = new Set(reported.silent);
  const changes: Change[] = [];
  for (const { node, lastHeardAt } of nodes) {
    const since = Math.max(lastHeardAt ?? 0, times.startedAtMs);
    const quiet = times.nowMs - since > times.silentS * 1000;
    if (quiet === silent.has(node)) continue;
    if (quiet) silent.add(node);
    // After a restart of the host a node is not "back" before it has connected.
    else if (lastHeardAt === undefined || lastHeardAt < times.startedAtMs) continue;
    else silent.delete(node);
    changes.push({
      kind: quiet ? 'silent' : 'back',
      node,
      at: times.nowMs,
      ...(lastHeardAt === undefined ? {} : { lastHeardAt }),
    });
  }
  return { reported: { ...reported, silent: [...silent] }, changes };
};
