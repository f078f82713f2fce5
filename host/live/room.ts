import { linearRegression } from 'simple-statistics';
import type { ProbeCard } from '../../node/index.js';
import type { RecentPoint } from './recent.js';

/** How far back the present rate looks: long enough for a 10-bit converter's noise, short enough for a lost impeller. */
const rateSpanMs = 15_000;
const fewestPoints = 5;
/**
 * Slower than this a probe is called steady, in degrees Celsius per second. On the water side a 10-bit converter's
 * noise alone stays under a third of it; exhaust gas wanders with every wave.
 */
export const steadyCPerS = (place: string): number =>
  place === 'dry-exhaust' || place === 'before-turbo' ? 0.3 : 0.05;
/** Further ahead than this the present rate says nothing. */
const furthestS = 900;

/** Slope of a least-squares line over the last 15 s, in degrees Celsius per second; absent with fewer than 5 points. */
export const riseCPerS = (points: readonly RecentPoint[], atMs: number): number | undefined => {
  const recent: [t: number, y: number][] = [];
  for (let i = points.length - 1; i >= 0; i--) {
    const p = points[i];
    if (!p || p.at < atMs - rateSpanMs) break;
    if (p.temperatureC !== undefined) recent.push([(p.at - atMs) / 1000, p.temperatureC]);
  }
  return recent.length < fewestPoints ? undefined : linearRegression(recent).m;
};

export type Room = {
  /** Degrees below the alarm limit (the warning limit where there is no other); negative above it. */
  readonly roomC: number;
  /** Seconds to reach it at the present rate; absent when the probe is steady or cooling. */
  readonly roomS?: number;
  /** Which limit, and where it is on the scale. */
  readonly to: 'warning' | 'alarm';
  readonly limitC: number;
};

/** Room below the alarm limit, always that one, so that the number keeps its meaning while an event grows. */
export const roomOf = (
  { limits, place }: Pick<ProbeCard, 'limits' | 'place'>,
  temperatureC: number,
  rise: number | undefined,
): Room | undefined => {
  const to = limits.alarm ? 'alarm' : 'warning';
  const limitC = limits[to]?.raiseAtC;
  if (limitC === undefined) return undefined;
  const roomC = limitC - temperatureC;
  const roomS = rise !== undefined && rise > steadyCPerS(place) && roomC > 0 ? roomC / rise : undefined;
  return { roomC, to, limitC, ...(roomS !== undefined && roomS <= furthestS && { roomS }) };
};
