import type { ChannelState } from './channel-state.js';

const windowMs = 2500;

/** The window with the new reading in, and without what is too old or one too many. */
export function slide(channel: ChannelState, atMs: number, temperatureC: number) {
  const { windowAtMs, windowC } = channel;
  let from = Math.max(0, windowC.length - 4);
  while (from < windowC.length && (windowAtMs[from] ?? 0) <= atMs - windowMs) from++;
  const at = windowAtMs.slice(from);
  const c = windowC.slice(from);
  at.push(atMs);
  c.push(temperatureC);
  return { windowAtMs: at, windowC: c };
}

/** The middle of the last readings, however far apart they are, C. */
export const middleC = ({ windowC }: ChannelState): number =>
  windowC.toSorted((a, b) => a - b)[windowC.length >> 1] ?? Number.NaN;

/** Median, unless its two neighbours are further apart than `spreadK`: then nothing in the window can be believed. */
export function medianUnlessSpread(values: readonly number[], spreadK: number): number | undefined {
  const sorted = values.slice();
  for (let i = 1; i < sorted.length; i++) {
    const value = sorted[i] as number;
    let j = i;
    for (; j > 0 && (sorted[j - 1] as number) > value; j--) sorted[j] = sorted[j - 1] as number;
    sorted[j] = value;
  }
  const middle = sorted.length >> 1;
  const low = sorted[Math.max(0, middle - 1)] as number;
  const high = sorted[Math.min(sorted.length - 1, middle + 1)] as number;
  return high - low > spreadK ? undefined : sorted[middle];
}
