const clock = new Intl.DateTimeFormat(undefined, {
  hour: '2-digit',
  minute: '2-digit',
  second: '2-digit',
  hourCycle: 'h23',
});
const day = new Intl.DateTimeFormat(undefined, { day: 'numeric', month: 'short', year: 'numeric' });
const zone = new Intl.DateTimeFormat(undefined, { timeZoneName: 'short' });

export const clockText = (wallMs: number): string => clock.format(wallMs);
export const dayText = (wallMs: number): string => day.format(wallMs);
export const zoneText = (wallMs: number): string =>
  zone.formatToParts(wallMs).find((part) => part.type === 'timeZoneName')?.value ?? '';

/** `48 s`, `3 min 20 s`, `2 h 5 min`, `12 d`. */
export const spanText = (seconds: number): string => {
  const s = Math.max(0, Math.round(seconds));
  if (s < 90) return `${s} s`;
  if (s < 3600)
    return s % 60 && s < 600 ? `${Math.floor(s / 60)} min ${s % 60} s` : `${Math.round(s / 60)} min`;
  if (s < 48 * 3600) return `${Math.floor(s / 3600)} h ${Math.floor((s % 3600) / 60)} min`;
  return `${Math.round(s / 86_400)} d`;
};

const dayMonth = new Intl.DateTimeFormat(undefined, { day: 'numeric', month: 'short' });
/** For the ticks of a time axis. */
export const shortDay = (wallMs: number): string => dayMonth.format(wallMs);
