import { day } from '../../wording/moments.js';

/** A moment by the computer's own calendar. */
export type LocalTime = { readonly day: string; readonly minuteOfDay: number };

/** Reads the time zone of the computer, daylight saving included. */
export const localTime = (atMs: number): LocalTime => {
  const date = new Date(atMs);
  return {
    day: day(atMs),
    minuteOfDay: date.getHours() * 60 + date.getMinutes(),
  };
};

/**
 * Whether the daily sign of life is due. The very first one goes out at once and shows that messages work; after
 * that one a day, as soon as the time of day has come. `at` is `HH:MM` or `off`.
 */
export const signOfLifeDue = (now: LocalTime, at: string, lastDay: string | undefined): boolean => {
  if (at === 'off') return false;
  if (lastDay === undefined) return true;
  if (now.day === lastDay) return false;
  const [hours = 0, minutes = 0] = at.split(':').map(Number);
  // More than a day behind: the computer was off; late is better than never.
  const yesterdayIsMissing = daysBetween(lastDay, now.day) > 1;
  return yesterdayIsMissing || now.minuteOfDay >= hours * 60 + minutes;
};

const daysBetween = (from: string, to: string) =>
  (Date.parse(`${to}T00:00Z`) - Date.parse(`${from}T00:00Z`)) / 86_400_000;
