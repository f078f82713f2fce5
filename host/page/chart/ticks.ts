import { niceStep } from '../../drawing/nice-step.js';

/** Round values from `low` to `high`. */
export const valueTicks = (low: number, high: number, most: number): readonly number[] => {
  const step = niceStep(high - low, most);
  const first = Math.ceil(low / step - 1e-9);
  const count = Math.floor(high / step + 1e-9) - first;
  return Array.from({ length: count + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
};

const minute = 60;
const hour = 3600;
const day = 86_400;
const sixtieths = [1, 2, 5, 10, 15, 30];
const steps = [
  ...sixtieths,
  ...sixtieths.map((n) => n * minute),
  ...[1, 2, 3, 6, 12].map((n) => n * hour),
  ...[1, 2, 7, 14].map((n) => n * day),
];
const monthSteps = [1, 2, 3, 6, 12];
const month = 30.44 * day;

export type TimeTick = { readonly at: number; readonly text: string };

const textOf = (options: Intl.DateTimeFormatOptions) => {
  const format = new Intl.DateTimeFormat(undefined, { hourCycle: 'h23', ...options });
  return (s: number) => format.format(s * 1000);
};
const seconds = textOf({ hour: '2-digit', minute: '2-digit', second: '2-digit' });
const minutes = textOf({ hour: '2-digit', minute: '2-digit' });
const days = textOf({ day: 'numeric', month: 'short' });
const months = textOf({ month: 'short', year: '2-digit' });

/** Moments that are round by the reader's own clock and calendar, in seconds, at most `most` of them. */
export const timeTicks = (from: number, to: number, most: number): readonly TimeTick[] => {
  const least = (to - from) / Math.max(1, most);
  const step = steps.find((s) => s >= least);
  if (step === undefined) return monthTicks(from, to, least);
  const ticks: TimeTick[] = [];
  const start = new Date(from * 1000);
  start.setHours(0, 0, 0, 0);
  if (step >= day) {
    // Midnights are not always 24 hours apart.
    for (const at = start; at.getTime() / 1000 <= to; at.setDate(at.getDate() + step / day))
      if (at.getTime() / 1000 >= from)
        ticks.push({ at: at.getTime() / 1000, text: days(at.getTime() / 1000) });
    return ticks;
  }
  const midnight = start.getTime() / 1000;
  for (let at = midnight + Math.ceil((from - midnight) / step) * step; at <= to; at += step)
    ticks.push({ at, text: step < minute ? seconds(at) : isMidnight(at) ? days(at) : minutes(at) });
  return ticks;
};

/** Round times since a start, `0:00` at it. */
export const elapsedTicks = (from: number, to: number, most: number): readonly TimeTick[] => {
  const step = steps.find((s) => s >= (to - from) / Math.max(1, most)) ?? day;
  const ticks: TimeTick[] = [];
  for (let at = Math.ceil(from / step) * step; at <= to; at += step)
    ticks.push({ at, text: elapsedText(at) });
  return ticks;
};

/** Hours and minutes since a start; seconds where there are any. */
export const elapsedText = (s: number): string => {
  const whole = Math.round(s);
  const [h, m, rest] = [Math.floor(whole / hour), Math.floor(whole / minute) % 60, whole % minute];
  const two = (n: number) => String(n).padStart(2, '0');
  return `${h}:${two(m)}${rest > 0 ? `:${two(rest)}` : ''}`;
};

const isMidnight = (at: number) => {
  const date = new Date(at * 1000);
  return date.getHours() + date.getMinutes() + date.getSeconds() === 0;
};

const monthTicks = (from: number, to: number, least: number): readonly TimeTick[] => {
  const step = monthSteps.find((n) => n * month >= least) ?? Math.ceil(least / (12 * month)) * 12;
  const at = new Date(from * 1000);
  at.setHours(0, 0, 0, 0);
  at.setDate(1);
  at.setMonth(Math.floor(at.getMonth() / step) * step);
  const ticks: TimeTick[] = [];
  for (; at.getTime() / 1000 <= to; at.setMonth(at.getMonth() + step))
    if (at.getTime() / 1000 >= from)
      ticks.push({ at: at.getTime() / 1000, text: months(at.getTime() / 1000) });
  return ticks;
};
