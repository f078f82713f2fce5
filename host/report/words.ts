const two = (n: number) => String(n).padStart(2, '0');

/** `2026-11-25 10:31`, by the computer's own clock. */
export const dayAndTime = (at: number): string => {
  const d = new Date(at);
  return `${day(at)} ${two(d.getHours())}:${two(d.getMinutes())}`;
};

export const day = (at: number): string => {
  const d = new Date(at);
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
};

/** `UTC+01:00`: the zone of the times in a report, at that moment. */
export const zoneOf = (at: number): string => {
  const minutes = -new Date(at).getTimezoneOffset();
  return `UTC${minutes < 0 ? '−' : '+'}${two(Math.floor(Math.abs(minutes) / 60))}:${two(Math.abs(minutes) % 60)}`;
};

/** `2 h 05 min`, `4 min`, `12 s`. */
export const spanText = (ms: number): string => {
  const s = Math.round(ms / 1000);
  if (s < 90) return `${s} s`;
  const minutes = Math.round(s / 60);
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${two(minutes % 60)} min`;
};

export const degrees = (c: number | undefined, digits = 1): string =>
  c === undefined ? '–' : `${c.toFixed(digits).replace('-', '−')} °C`;

export const escapeHtml = (text: string): string =>
  text.replace(
    /[&<>"']/g,
    (c) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' })[c] ?? c,
  );
