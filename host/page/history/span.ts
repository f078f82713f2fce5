/** A stretch of wall time in milliseconds; `follows` when it ends at this moment and moves with it. */
export type Shown = { readonly from: number; readonly to: number; readonly follows: boolean };

export const minuteMs = 60_000;
export const hourMs = 60 * minuteMs;
export const dayMs = 24 * hourMs;
const shortestMs = 10_000;
const longestMs = 2 * 366 * dayMs;

export const spans: readonly { readonly name: string; readonly ms: number }[] = [
  { name: '1 min', ms: minuteMs },
  { name: '10 min', ms: 10 * minuteMs },
  { name: '1 h', ms: hourMs },
  { name: '6 h', ms: 6 * hourMs },
  { name: '1 day', ms: dayMs },
  { name: '1 week', ms: 7 * dayMs },
  { name: '1 month', ms: 30 * dayMs },
  { name: '1 year', ms: 365 * dayMs },
];

export const endingNow = (ms: number, nowMs: number): Shown => ({
  from: nowMs - ms,
  to: nowMs,
  follows: true,
});

/** Later by a share of the span; never past this moment. */
export const moved = ({ from, to }: Shown, share: number, nowMs: number): Shown => {
  const by = Math.min((to - from) * share, nowMs - to);
  return { from: from + by, to: to + by, follows: share > 0 && to + by >= nowMs };
};

/** Narrower or wider about a point that stays where it is (`at`, 0 left to 1 right). */
export const zoomed = ({ from, to }: Shown, factor: number, at: number, nowMs: number): Shown => {
  const ms = Math.min(longestMs, Math.max(shortestMs, (to - from) * factor));
  const still = from + (to - from) * at;
  const end = Math.min(nowMs, still + ms * (1 - at));
  return { from: end - ms, to: end, follows: end >= nowMs };
};

/** Reads the view back from a link; absent when the link names none. */
export const fromLink = (query: URLSearchParams, nowMs: number): Shown | undefined => {
  const last = Number(query.get('last'));
  if (last >= shortestMs && last <= longestMs) return endingNow(last, nowMs);
  const from = Number(query.get('from'));
  const to = Number(query.get('to'));
  return from > 0 && to - from >= shortestMs && to - from <= longestMs
    ? { from, to, follows: false }
    : undefined;
};

export const toLink = ({ from, to, follows }: Shown): Readonly<Record<string, string>> =>
  follows
    ? { last: String(Math.round(to - from)) }
    : { from: String(Math.round(from)), to: String(Math.round(to)) };
