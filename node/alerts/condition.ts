import type { Engine, EngineKind } from '../kit/engines.js';
import type { ProbeId } from '../reading/reading.js';
import type { Evidence, Priority } from './alert.js';

/** What can be wrong. One situation on one subject is one alert, whichever rules see it (MSC.302(87) 5.2). */
export const situations = [
  'cooling',
  'blind',
  'high-limit',
  'load',
  'trend',
  'probe-fault',
  'running-input',
  'board',
  'set-up',
] as const;
export type Situation = (typeof situations)[number];

/** What a detector finds active at this instant. The ledger makes alerts of it and remembers. */
export type Condition = {
  readonly situation: Situation;
  /** An engine, a probe, `board`, or what of the set-up it is. */
  readonly subject: string;
  readonly rule: string;
  readonly priority: Priority;
  readonly probe?: ProbeId;
  readonly engine?: Engine;
  /** The owner's name for that engine, and what it drives. */
  readonly engineSaid?: { readonly name: string; readonly kind: EngineKind };
  readonly message: string;
  /** What to do, where the situation alone does not say. */
  readonly actions?: readonly string[];
  readonly evidence: Evidence;
  /** The temperature named in the message, where there is one. */
  readonly nowC?: number;
  /** Once acknowledged, a reminder sounds this often while it lasts, s. */
  readonly remindEveryS?: number;
  /** What people are asked to acknowledge. They are asked again when something joins that they were not asked about. */
  readonly asksFor?: readonly string[];
  /** Which words these are, where one rule has several: the alert is renewed when it changes, as with another rule. */
  readonly variant?: string;
  /** The engine idles already: it cannot be eased back, so that a warning about its cooling asks to stop it. */
  readonly idles?: boolean;
  /** How far an alarm has gone on: 1 when its limit is passed and not only foreseen, 2 when wet hose is in danger. */
  readonly beyond?: 0 | 1 | 2;
};

/**
 * What is asked of people, as steps that call them again: look, ease back, idle and stop, stop now (wet hose in
 * danger). An alarm whose limit was foreseen and is now passed still asks for the same, so it is no new call: one
 * event is one alert and one acknowledgement (MSC.302(87) 5.2). The numbers are those that older state files hold.
 */
export const severityOf = ({ priority, beyond = 0 }: Condition): number =>
  ({ caution: 0, warning: 1, alarm: 3 })[priority] + (beyond === 2 ? 1 : 0);

/** Which of several conditions gives one alert its words: the most severe, then the one that has gone furthest. */
export const isMoreSevere = (one: Condition, other: Condition): boolean =>
  severityOf(one) - severityOf(other) + ((one.beyond ?? 0) - (other.beyond ?? 0)) / 10 > 0;

/** Whether an alert says that something is not set up as it was: it sounds once, and never grows. */
export const isSetUp = ({ id }: { readonly id: string }): boolean => id.startsWith('set-up:');

/** Whether an alert says that nothing shows an engine's cooling. */
export const isBlindness = ({ id }: { readonly id: string }): boolean => id.startsWith('blind:');

export const alertIdOf = (condition: Pick<Condition, 'situation' | 'subject'>): string =>
  `${condition.situation}:${condition.subject}`;
