const two = (n: number) => String(n).padStart(2, '0');

/** `2026-11-25`, by the computer's own clock. */
export const day = (at: number): string => {
  const d = new Date(at);
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
};

/** `10:31`, by the computer's own clock. */
export const timeOfDay = (at: number): string => {
  const d = new Date(at);
  return `${two(d.getHours())}:${two(d.getMinutes())}`;
};

/** `2026-11-25 10:31`, by the computer's own clock; for use where the zone is shown beside it. */
export const dayAndTime = (at: number): string => `${day(at)} ${timeOfDay(at)}`;

/** `+01:00`: how far the computer's own clock is ahead of UTC at that moment. */
const offsetText = (at: number): string => {
  const minutes = -new Date(at).getTimezoneOffset();
  const ahead = Math.abs(minutes);
  return `${minutes < 0 ? '-' : '+'}${two(Math.floor(ahead / 60))}:${two(ahead % 60)}`;
};

/** `UTC+01:00`: the zone of local times at that moment. */
export const zoneOf = (at: number): string => `UTC${offsetText(at)}`;

/** `2026-11-25 10:31:07+01:00`: a whole local moment with its zone, as RFC 3339 has it; options take it back. */
export const localStamp = (at: number): string =>
  `${dayAndTime(at)}:${two(new Date(at).getSeconds())}${offsetText(at)}`;

/** `12 days`, `2 h 05 min`, `4 min`, `12 s`. */
export const lastedText = (ms: number): string => {
  const s = Math.round(ms / 1000);
  if (s < 90) return `${s} s`;
  if (s >= 72 * 3600) return `${Math.round(s / 86_400)} days`;
  const minutes = Math.round(s / 60);
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${two(minutes % 60)} min`;
};
