import type { MonotonicMs } from '../time/clock.js';
import { firstActions, instructionOf } from './actions.js';
import type { Alert } from './alert.js';
import { alertIdOf, type Condition, severityOf } from './condition.js';
import { alertStateOf, type LifeEvent, type LifeState, nextLifeState } from './life-cycle.js';

/** One alert with what the life cycle needs beside what people see. */
export type Entry = {
  readonly life: LifeState;
  /** When it last became unacknowledged; escalation counts from here. */
  readonly unacknowledgedSinceMs: MonotonicMs;
  readonly situation: Condition['situation'];
  readonly alert: Alert;
  /** The severity people were called for, and since when the condition has been milder. */
  readonly severity: number;
  /** What people have been asked about so far; see `Condition.asksFor`. */
  readonly askedFor?: readonly string[];
  readonly milderSinceMs?: MonotonicMs;
  /** It became an alarm without a call, because its warning had already asked to stop an engine that idled. */
  readonly grownAtIdle?: true;
  /** What the message said last. */
  readonly reported: {
    readonly atMs: MonotonicMs;
    readonly rule: string;
    readonly variant?: string;
    readonly nowC?: number;
    readonly idles?: boolean;
  };
  /** What it said when people were called, and the highest temperature since: what history should keep. */
  readonly calledFor: string;
  readonly highestC?: number;
};

/** A condition that people have not been called for yet, or not as it now is. */
export function raised(condition: Condition, nowMs: MonotonicMs): Entry {
  return {
    life: nextLifeState('normal', 'occur'),
    unacknowledgedSinceMs: nowMs,
    situation: condition.situation,
    severity: severityOf(condition),
    ...(condition.asksFor && { askedFor: condition.asksFor }),
    reported: reportedOf(condition, nowMs),
    calledFor: condition.message,
    ...(condition.nowC !== undefined && { highestC: condition.nowC }),
    alert: {
      id: alertIdOf(condition),
      rule: condition.rule,
      priority: condition.priority,
      state: 'unacknowledged',
      ...(condition.probe && { probe: condition.probe }),
      ...(condition.engine && { engine: condition.engine }),
      ...(condition.engineSaid && { engineName: condition.engineSaid.name }),
      sinceMs: nowMs,
      ...(condition.remindEveryS !== undefined && { remindEveryS: condition.remindEveryS }),
      message: condition.message,
      evidence: condition.evidence,
      instruction: instructionOf(condition),
      actions: firstActions(condition),
    },
  };
}

export const reportedOf = (
  { rule, variant, nowC, idles }: Condition,
  atMs: MonotonicMs,
): Entry['reported'] => ({
  atMs,
  rule,
  ...(idles && { idles }),
  ...(variant !== undefined && { variant }),
  ...(nowC !== undefined && { nowC }),
});

/** What an event of its life makes of it. */
export function move(
  entry: Entry,
  event: LifeEvent,
  nowMs: MonotonicMs,
  shelvedUntilMs?: MonotonicMs,
): Entry {
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
      state: alertStateOf(life),
      ...(life === 'unacknowledged' && silencedUntilMs !== undefined && { silencedUntilMs }),
      ...(life === 'shelved' && { shelvedUntilMs: shelvedUntilMs ?? entry.alert.shelvedUntilMs ?? nowMs }),
      ...((life === 'acknowledged' || life === 'shelved' || life === 'rectified-acknowledged') && {
        acknowledgedAtMs,
      }),
      ...(event === 'rectify' && { rectifiedAtMs: nowMs }),
    },
  };
}
