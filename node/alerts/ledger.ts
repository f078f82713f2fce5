import { asMonotonicMs, type MonotonicMs } from '../time/clock.js';
import { firstActions } from './actions.js';
import type { Alert, AlertCommand, CommandAnswer, Priority } from './alert.js';
import { asksForTheSame, asksToStopNow, hasNews, isAlarmUnderLoad, wordsFor } from './asks.js';
import { alertIdOf, type Condition, isMoreSevere, isSetUp, severityOf } from './condition.js';
import { type Entry, move, raised, reportedOf } from './entry.js';

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

/** A condition that was milder for this long and then becomes as severe as before is reported again. */
export const milderForS = 30;
/** The message is renewed when its temperature has moved this far, and not more than once a second. */
const renewK = 1;
const renewS = 1;
/** Another rule in the same alert, at the same temperature, waits longer: two rules that take turns say nothing new. */
const renewRuleS = 10;

type Keeping = {
  readonly nowMs: MonotonicMs;
  readonly escalateAfterS: number;
  /** Alerts whose condition cannot be judged now, as that of a probe while the board is disconnected: they stay as they were. */
  readonly unjudged?: (alert: Alert, situation: Condition['situation']) => boolean;
};

/**
 * Takes the conditions that are active now and the commands of people, and returns the alerts.
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
  const mostSevere = mostSeverePerAlert(conditions);
  const entries = before.map((entry) => {
    const condition = mostSevere.get(entry.alert.id);
    return condition ? active(entry, condition, keeping) : quiet(entry, keeping);
  });
  for (const [id, condition] of mostSevere)
    if (!before.some((entry) => entry.alert.id === id)) entries.push(raised(condition, keeping.nowMs));
  const answers = commands.map((command) => applyCommand(entries, command, keeping.nowMs));
  const kept = entries.filter((entry) => entry.life !== 'normal');
  const same = kept.length === before.length && kept.every((entry, i) => entry === before[i]);
  return { entries: same ? before : kept, answers };
}

function mostSeverePerAlert(conditions: readonly Condition[]): Map<string, Condition> {
  const mostSevere = new Map<string, Condition>();
  for (const condition of conditions) {
    const id = alertIdOf(condition);
    const other = mostSevere.get(id);
    if (!other || isMoreSevere(condition, other)) mostSevere.set(id, condition);
  }
  return mostSevere;
}

/**
 * The condition of a known alert is still active, active again, or more severe. Its priority never goes down while it
 * is active. Once it asks for another action than people were called for, it is unacknowledged again, with the message,
 * evidence and actions of what is now true, whatever time or a person had made of it before (MSC.302(87) 7.3.1).
 * Growth that asks for nothing new changes the message only.
 */
function active(entry: Entry, condition: Condition, keeping: Keeping): Entry {
  const { nowMs } = keeping;
  const over = entry.life === 'rectified-unacknowledged' || entry.life === 'rectified-acknowledged';
  if (over) return raised(condition, nowMs);
  const severity = severityOf(condition);
  if (severity <= entry.severity && hasNews(entry, condition)) return askedAgain(entry, condition, nowMs);
  if (severity > entry.severity && asksForTheSame(entry, condition))
    return grown({ ...entry, severity }, condition, nowMs);
  if (severity > entry.severity || (entry.grownAtIdle && isAlarmUnderLoad(condition)))
    return calledAgain(entry, condition, nowMs);
  return renewed(timed(eased(entry, severity, nowMs), keeping), condition, nowMs);
}

/** Asks for another action than people were called for: unacknowledged, with all that is true now, and its age. */
function calledAgain({ alert, highestC }: Entry, condition: Condition, nowMs: MonotonicMs): Entry {
  const again = raised(condition, nowMs);
  return {
    ...again,
    ...highestOf(highestC, condition.nowC),
    alert: { ...again.alert, sinceMs: alert.sinceMs },
  };
}

/**
 * More severe than people were called for, with nothing new to do while the engine idles: it is shown as it is now, and no one is
 * called again. A person who acknowledged the warning was not called for an alarm, so an alarm under load is another call.
 */
function grown(entry: Entry, condition: Condition, nowMs: MonotonicMs): Entry {
  const { milderSinceMs: _, ...rest } = entry;
  const { priority, rule, message } = condition;
  return {
    ...rest,
    grownAtIdle: true,
    ...highestOf(entry.highestC, condition.nowC),
    reported: reportedOf(condition, nowMs),
    alert: { ...entry.alert, priority, rule, message, actions: firstActions(condition) },
  };
}

/** More than any boat has probes and a season has starts. */
const mostAskedFor = 64;

/** Something joined what was acknowledged: it is unacknowledged again, at the priority it had. One that still waits keeps waiting. */
function askedAgain(entry: Entry, condition: Condition, nowMs: MonotonicMs): Entry {
  const askedFor = [...new Set([...(entry.askedFor ?? []), ...(condition.asksFor ?? [])])].slice(
    -mostAskedFor,
  );
  const { silencedUntilMs: _, ...loud } = entry.alert;
  const reported = reportedOf(condition, nowMs);
  const now = { ...loud, ...wordsFor(entry, condition), evidence: condition.evidence };
  if (entry.life === 'unacknowledged') return { ...entry, askedFor, reported, alert: now };
  const { acknowledgedAtMs: _before, ...alert } = now;
  return move({ ...entry, askedFor, reported, alert }, 'worsen', nowMs);
}

/** Follows a condition that has become milder, once it has stayed so. */
function eased(entry: Entry, severity: number, nowMs: MonotonicMs): Entry {
  const { milderSinceMs, ...rest } = entry;
  if (severity === entry.severity) return milderSinceMs === undefined ? entry : rest;
  if (milderSinceMs === undefined) return { ...entry, milderSinceMs: nowMs };
  return nowMs - milderSinceMs >= milderForS * 1000 ? { ...rest, severity } : entry;
}

/** What time alone does to an active alert. */
function timed(entry: Entry, { nowMs, escalateAfterS }: Keeping): Entry {
  const { alert, life, unacknowledgedSinceMs } = entry;
  if (
    life === 'unacknowledged' &&
    alert.priority === 'warning' &&
    !isSetUp(alert) &&
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

/** The message follows what is true now; the evidence stays that of the moment people were called. */
function renewed(entry: Entry, condition: Condition, nowMs: MonotonicMs): Entry {
  const { reported } = entry;
  const { nowC, rule, variant, idles = false } = condition;
  const other = rule !== reported.rule || variant !== reported.variant || idles !== (reported.idles ?? false);
  const sinceS = (nowMs - reported.atMs) / 1000;
  const moved = nowC !== undefined && Math.abs(nowC - (reported.nowC ?? Number.NEGATIVE_INFINITY)) >= renewK;
  if (!(moved && sinceS >= renewS) && !(other && sinceS >= renewRuleS)) return entry;
  if (other && asksToStopNow(entry, condition)) return calledAgain(entry, condition, nowMs);
  return {
    ...entry,
    ...highestOf(entry.highestC, nowC),
    reported: reportedOf(condition, nowMs),
    alert: { ...entry.alert, ...(other ? wordsFor(entry, condition) : { message: condition.message }) },
  };
}

const highestOf = (before: number | undefined, nowC: number | undefined): Pick<Entry, 'highestC'> => {
  const highestC = nowC === undefined ? before : Math.max(before ?? nowC, nowC);
  return highestC === undefined ? {} : { highestC };
};

/** The condition is gone, or cannot be judged now. */
function quiet(entry: Entry, keeping: Keeping): Entry {
  const wasActive = entry.life !== 'rectified-unacknowledged' && entry.life !== 'rectified-acknowledged';
  return wasActive && keeping.unjudged?.(entry.alert, entry.situation)
    ? timed(entry, keeping)
    : rectified(entry, keeping);
}

/** Over: from now on the message is what people were called for and how far it went. */
function rectified(entry: Entry, { nowMs }: Keeping): Entry {
  const { life, alert } = entry;
  if (life === 'rectified-unacknowledged') return entry;
  if (life === 'rectified-acknowledged') {
    const sinceMs = alert.rectifiedAtMs ?? nowMs;
    return nowMs - sinceMs >= rectifiedInViewS * 1000 ? move(entry, 'age', nowMs) : entry;
  }
  const { calledFor, highestC } = entry;
  const highest = highestC === undefined ? '' : ` The highest was ${highestC.toFixed(1)} C.`;
  const message = `${calledFor}${highest}`;
  return move({ ...entry, alert: { ...entry.alert, message } }, 'rectify', nowMs);
}

/** Changes the entry in place in the list, and says what was done or why not. */
function applyCommand(entries: Entry[], command: AlertCommand, nowMs: MonotonicMs): CommandAnswer {
  const at = entries.findIndex((entry) => entry.alert.id === command.alertId && entry.life !== 'normal');
  const entry = entries[at];
  const refuse = (detail: string): CommandAnswer => ({ command, ok: false, detail });
  if (!entry) return refuse(`There is no alert ${command.alertId}.`);
  const { alert } = entry;
  if (command.do === 'shelve') {
    const longestS = longestShelfS[alert.priority];
    const forS = command.forS ?? longestS;
    if (longestS === 0) return refuse('An alarm cannot be shelved. Acknowledge it and put the cause right.');
    if (!(forS > 0 && forS <= longestS))
      return refuse(`A ${alert.priority} can be shelved for 1 to ${longestS} s; asked: ${forS} s.`);
    if (alert.remindEveryS !== undefined)
      return refuse(
        `${alert.id} cannot be shelved. Acknowledge it: then only a short reminder sounds every ${alert.remindEveryS / 60} min.`,
      );
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
