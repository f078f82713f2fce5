import type { Engine } from '../kit/schema.js';
import type { ProbeId } from '../reading.js';
import type { Evidence, Priority } from './alert.js';

/** What can be wrong. One situation on one subject is one alert, whichever rules see it (MSC.302(87) 5.2). */
export const situations = [
  'cooling',
  'high-limit',
  'load',
  'trend',
  'probe-fault',
  'running-input',
  'board',
] as const;
export type Situation = (typeof situations)[number];

/** What a detector says stands at this instant. The ledger makes alerts of it and remembers. */
export type Condition = {
  readonly situation: Situation;
  /** An engine, a probe or `board`. */
  readonly subject: string;
  readonly rule: string;
  readonly priority: Priority;
  readonly probe?: ProbeId;
  readonly engine?: Engine;
  readonly message: string;
  readonly evidence: Evidence;
};

export const alertIdOf = (condition: Pick<Condition, 'situation' | 'subject'>): string =>
  `${condition.situation}:${condition.subject}`;
