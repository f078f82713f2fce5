import type { Change } from './message.js';
import { isUrgent } from './quiet-hours.js';

/** Changes that wait to be sent, and when messages went out; plain JSON. */
export type Pace = {
  readonly waiting: readonly Change[];
  /** Wall milliseconds since when the first of them waits. */
  readonly waitingSince?: number;
  /** When messages went out within the last hour. */
  readonly sentAt: readonly number[];
  /** Changes beyond the bound that a message will give as a number only. */
  readonly unlisted: number;
};

export const atRest: Pace = { waiting: [], sentAt: [], unlisted: 0 };

const hourMs = 3_600_000;
/** Beyond this many waiting changes only their number is kept. */
const mostWaiting = 200;

export const addChanges = (pace: Pace, changes: readonly Change[], nowMs: number): Pace => {
  if (changes.length === 0) return pace;
  const waiting = [...pace.waiting, ...changes];
  const surplus = Math.max(0, waiting.length - mostWaiting);
  return {
    ...pace,
    // The oldest are the ones a later message can best do without.
    waiting: waiting.slice(surplus),
    waitingSince: pace.waitingSince ?? nowMs,
    unlisted: pace.unlisted + surplus,
  };
};

const isAlarm = (change: Change) =>
  'alert' in change && change.kind !== 'ended' && change.alert.priority === 'alarm';

/**
 * Whether the waiting changes go out now, all in one message: after they were gathered for `gatherS`, and within
 * `mostPerHour`. A quarter of that rate is kept for alarms. In quiet hours nothing goes out unless something urgent waits.
 */
export const release = (
  pace: Pace,
  nowMs: number,
  {
    gatherS,
    mostPerHour,
    isQuietNow = false,
  }: { readonly gatherS: number; readonly mostPerHour: number; readonly isQuietNow?: boolean },
): {
  readonly pace: Pace;
  readonly send?: { readonly changes: readonly Change[]; readonly unlisted: number };
} => {
  // Times of the future come from a clock that was set back; they must not block.
  const sentAt = pace.sentAt.filter((at) => at <= nowMs && nowMs - at < hourMs);
  const { waitingSince } = pace;
  const held = isQuietNow && !pace.waiting.some(isUrgent);
  if (pace.waiting.length === 0 || waitingSince === undefined || held) return { pace: { ...pace, sentAt } };
  const gathered = nowMs - waitingSince >= gatherS * 1000 || waitingSince > nowMs;
  const usable = pace.waiting.some(isAlarm) ? mostPerHour : Math.max(1, Math.floor(mostPerHour * 0.75));
  if (!gathered || sentAt.length >= usable) return { pace: { ...pace, sentAt } };
  return {
    pace: { waiting: [], sentAt: [...sentAt, nowMs], unlisted: 0 },
    send: { changes: pace.waiting, unlisted: pace.unlisted },
  };
};
