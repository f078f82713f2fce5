import type { Change } from './message.js';

/** Times of day of the computer's own zone, `HH:MM`; the span may pass midnight. */
export type QuietHours = { readonly from: string; readonly to: string };

const minuteOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3));

/** Whether a minute of the day is in the span; its end does not. */
export const isQuiet = (quiet: QuietHours, minuteOfDay: number): boolean => {
  const [from, to] = [minuteOf(quiet.from), minuteOf(quiet.to)];
  return from <= to ? minuteOfDay >= from && minuteOfDay < to : minuteOfDay >= from || minuteOfDay < to;
};

/** What quiet hours never hold back: an alarm, and a node that sends nothing. */
export const isUrgent = (change: Change): boolean =>
  'alert' in change ? change.kind !== 'ended' && change.alert.priority === 'alarm' : change.kind === 'silent';
