import { asMonotonicMs, type MonotonicMs } from '../clock.js';
import { firstActions } from './actions.js';
import type { Alert, AlertCommand, CommandAnswer, Priority } from './alert.js';
import { alertIdOf, type Condition } from './condition.js';
import { type LifeEvent, type LifeState, nextLifeState } from './life-cycle.js';

/** MSC.302(87) 7.3.5: silence is temporary. */
export const silenceS = 30;
/** How long a rectified and acknowledged alert stays in view. */
export const rectifiedInViewS = 60;
/** Longest time on the shelf; an alarm cannot be shelved at all. */
export const longestShelfS: Readonly<Record<Priority, number>> = {
  alarm: 0,
  warning: 3600,
  caution: 24 * 3600,
};

/** One alert with what the life cycle needs beside what people see. */
export type Entry = {
  readonly life: LifeState;
  /** When it last became unacknowledged; escalation counts from here. */
  readonly unacknowledgedSinceMs: MonotonicMs;
  readonly situation: Condition['situation'];
  readonly alert: Alert;
};

const rank: Readonly<Record<Priority, number>> = { caution: 0, warning: 1, alarm: 2 };

type Keeping = { readonly nowMs: MonotonicMs; readonly escalateAfterS: number };

/**
 * Takes what stands now and what people did, and gives the alerts as they are from now on.
 * Entries that did not change keep their identity, so that a caller may compare by reference.
 */
export function keepLedger(
  before: readonly Entry[],
  conditions: readonly Condition[],
  commands: readonly AlertCommand[],
  keeping: Keeping,
): { entries: readonly Entry[]; answers: readonly CommandAnswer[] } {
  if (before.length === 0 && conditions.length === 0 && commands.length === 0)
    return { entries: before, answers: [] };
  const gravest = gravestPerAlert(conditions);
  const entries = before.map((entry) => {
    const condition = gravest.get(entry.alert.id);
    return condition ? standing(entry, condition, keeping) : rectified(entry, keeping);
  });
  for (const [id, condition] of gravest)
    if (!before.some((entry) => entry.alert.id === id)) entries.push(raised(condition, keeping.nowMs));
  const answers = commands.map((command) => obey(entries, command, keeping.nowMs));
  const kept = entries.filter((entry) => entry.life !== 'normal');
  const same = kept.length === before.length && kept.every((entry, i) => entry === before[i]);
  return { entries: same ? before : kept, answers };
}

function gravestPerAlert(conditions: readonly Condition[]): Map<string, Condition> {
  const gravest = new Map<string, Condition>();
  for (const condition of conditions) {
    const id = alertIdOf(condition);
    const other = gravest.get(id);
    if (!other || rank[condition.priority] > rank[other.priority]) gravest.set(id, condition);
  }
  return gravest;
}

function raised(condition: Condition, nowMs: MonotonicMs): Entry {
  return {
    life: nextLifeState('normal', 'stand'),
    unacknowledgedSinceMs: nowMs,
    situation: condition.situation,
    alert: {
      id: alertIdOf(condition),
      rule: condition.rule,
      priority: condition.priority,
      state: 'unacknowledged',
      ...(condition.probe && { probe: condition.probe }),
      ...(condition.engine && { engine: condition.engine }),
      sinceMs: nowMs,
      message: condition.message,
      evidence: condition.evidence,
      actions: firstActions(condition),
    },
  };
}

/** The condition of a known alert still stands, stands again, or became graver. Never lowers a priority while it stands. */
function standing(entry: Entry, condition: Condition, { nowMs, escalateAfterS }: Keeping): Entry {
  const over = entry.life === 'rectified-unacknowledged' || entry.life === 'rectified-acknowledged';
  if (over) return raised(condition, nowMs);
  if (rank[condition.priority] > rank[entry.alert.priority])
    return {
      ...raised(condition, nowMs),
      alert: { ...raised(condition, nowMs).alert, sinceMs: entry.alert.sinceMs },
    };
  const { alert, life, unacknowledgedSinceMs } = entry;
  if (
    life === 'unacknowledged' &&
    alert.priority === 'warning' &&
    nowMs - unacknowledgedSinceMs >= escalateAfterS * 1000
  ) {
    const { silencedUntilMs: _, ...loud } = alert;
    return move({ ...entry, alert: { ...loud, priority: 'alarm', escalated: true } }, 'worsen', nowMs);
  }
  if (life === 'shelved' && alert.shelvedUntilMs !== undefined && nowMs >= alert.shelvedUntilMs)
    return move(entry, 'unshelve', nowMs);
  if (alert.silencedUntilMs !== undefined && nowMs >= alert.silencedUntilMs) {
    const { silencedUntilMs: _, ...loud } = alert;
    return { ...entry, alert: loud };
  }
  return entry;
}

function rectified(entry: Entry, { nowMs }: Keeping): Entry {
  const { life, alert } = entry;
  if (life === 'rectified-unacknowledged') return entry;
  if (life === 'rectified-acknowledged') {
    const sinceMs = alert.rectifiedAtMs ?? nowMs;
    return nowMs - sinceMs >= rectifiedInViewS * 1000 ? move(entry, 'age', nowMs) : entry;
  }
  return move(entry, 'rectify', nowMs);
}

/** Changes the entry in place in the list, and says what was done or why not. */
function obey(entries: Entry[], command: AlertCommand, nowMs: MonotonicMs): CommandAnswer {
  const at = entries.findIndex((entry) => entry.alert.id === command.alertId && entry.life !== 'normal');
  const entry = entries[at];
  const refuse = (detail: string): CommandAnswer => ({ command, ok: false, detail });
  if (!entry) return refuse(`No alert ${command.alertId} stands.`);
  const { alert } = entry;
  if (command.do === 'shelve') {
    const longestS = longestShelfS[alert.priority];
    const forS = command.forS ?? longestS;
    if (longestS === 0) return refuse('An alarm cannot be shelved. Acknowledge it and put the cause right.');
    if (!(forS > 0 && forS <= longestS))
      return refuse(`A ${alert.priority} can be shelved for 1 to ${longestS} s; asked: ${forS} s.`);
    if (alert.state === 'rectified') return refuse(`${alert.id} is already rectified.`);
    entries[at] = move(entry, 'shelve', nowMs, asMonotonicMs(nowMs + forS * 1000));
    return { command, ok: true, detail: `${alert.id} is shelved for ${forS} s.` };
  }
  if (command.do === 'silence') {
    if (entry.life !== 'unacknowledged') return refuse(`${alert.id} is not sounding.`);
    entries[at] = {
      ...move(entry, 'silence', nowMs),
      alert: { ...alert, silencedUntilMs: asMonotonicMs(nowMs + silenceS * 1000) },
    };
    return { command, ok: true, detail: `${alert.id} is silent for ${silenceS} s.` };
  }
  if (command.do === 'unshelve' && entry.life !== 'shelved')
    return refuse(`${alert.id} is not on the shelf.`);
  entries[at] = move(entry, command.do, nowMs);
  return { command, ok: true, detail: `${alert.id}: ${command.do} done.` };
}

const seenAs: Readonly<Record<Exclude<LifeState, 'normal'>, Alert['state']>> = {
  unacknowledged: 'unacknowledged',
  acknowledged: 'acknowledged',
  shelved: 'acknowledged',
  'rectified-unacknowledged': 'rectified',
  'rectified-acknowledged': 'rectified',
};

function move(entry: Entry, event: LifeEvent, nowMs: MonotonicMs, shelvedUntilMs?: MonotonicMs): Entry {
  const life = nextLifeState(entry.life, event);
  if (life === 'normal') return { ...entry, life };
  const { shelvedUntilMs: _shelf, silencedUntilMs, ...rest } = entry.alert;
  const acknowledgedAtMs = rest.acknowledgedAtMs ?? nowMs;
  const becameLoud = life === 'unacknowledged' && entry.life !== 'unacknowledged';
  return {
    ...entry,
    life,
    unacknowledgedSinceMs: becameLoud ? nowMs : entry.unacknowledgedSinceMs,
    alert: {
      ...rest,
      state: seenAs[life],
      ...(life === 'unacknowledged' && silencedUntilMs !== undefined && { silencedUntilMs }),
      ...(life === 'shelved' && { shelvedUntilMs: shelvedUntilMs ?? entry.alert.shelvedUntilMs ?? nowMs }),
      ...((life === 'acknowledged' || life === 'shelved' || life === 'rectified-acknowledged') && {
        acknowledgedAtMs,
      }),
      ...(event === 'rectify' && { rectifiedAtMs: nowMs }),
    },
  };
}
