import type { Engine } from '../kit/engines.js';
import type { ProbeId } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';

/** Priorities of IMO MSC.302(87) 6.1; the emergency alarm is for people in the water, not for engines. */
export const priorities = ['alarm', 'warning', 'caution'] as const;
export type Priority = (typeof priorities)[number];

/** What a person sees. Silence and shelving are spans in time, carried beside the state. */
export type AlertState = 'unacknowledged' | 'acknowledged' | 'rectified';

/** Why it was raised, in numbers that can be checked afterwards. */
export type Evidence = {
  readonly values: Readonly<Record<string, number>>;
  readonly thresholds: Readonly<Record<string, number>>;
  /** Distance to the nearest limit, and the seconds to reach it at the present rate (absent when not approaching). */
  readonly roomC?: number;
  readonly roomS?: number;
};

export type Alert = {
  /** Stable while the alert is active: `situation:subject`, for example `cooling:port` or `probe-fault:sea`. */
  readonly id: string;
  /** The rule that saw it, the most severe where several did, for example `high-limit`. */
  readonly rule: string;
  readonly priority: Priority;
  /** True when a warning rose to alarm because it was not acknowledged in time (MSC.302(87) 6.2.2). */
  readonly escalated?: boolean;
  readonly state: AlertState;
  readonly probe?: ProbeId;
  readonly engine?: Engine;
  /** The owner's name for that engine. */
  readonly engineName?: string;
  readonly sinceMs: MonotonicMs;
  /** While it is acknowledged and lasts, a short sound reminds of it this often, s. Such an alert cannot be shelved. */
  readonly remindEveryS?: number;
  readonly acknowledgedAtMs?: MonotonicMs;
  readonly silencedUntilMs?: MonotonicMs;
  readonly shelvedUntilMs?: MonotonicMs;
  readonly rectifiedAtMs?: MonotonicMs;
  /** One sentence: what happened and where. */
  readonly message: string;
  readonly evidence: Evidence;
  /** The first thing to do in a few words, verb first, for large type and subjects: `Idle, then stop`. */
  readonly instruction?: string;
  /** What to do now, in order, in plain words: the first three in a few words each, the rest in full. */
  readonly actions: readonly string[];
};

/** What a person may do to an alert. */
export type AlertCommand = {
  readonly do: 'acknowledge' | 'silence' | 'shelve' | 'unshelve';
  readonly alertId: string;
  /** For `shelve`: how long, in seconds. */
  readonly forS?: number;
};

/** The result of a command: one answer each, in order. `detail` says why it was refused, or what was done. */
export type CommandAnswer = { readonly command: AlertCommand; readonly ok: boolean; readonly detail: string };
