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
  const recent: { t: number; y: number }[] = [];
  for (let i = points.length - 1; i >= 0; i--) {
    const p = points[i];
    if (!p || p.at < atMs - rateSpanMs) break;
    if (p.temperatureC !== undefined) recent.push({ t: (p.at - atMs) / 1000, y: p.temperatureC });
  }
  if (recent.length < fewestPoints) return undefined;
  const meanT = recent.reduce((sum, p) => sum + p.t, 0) / recent.length;
  const meanY = recent.reduce((sum, p) => sum + p.y, 0) / recent.length;
  let above = 0;
  let below = 0;
  for (const { t, y } of recent) {
    above += (t - meanT) * (y - meanY);
    below += (t - meanT) ** 2;
  }
  return below > 0 ? above / below : undefined;
};

export type Room = {
  /** Degrees to the nearest setpoint not yet passed; negative once past the alarm setpoint. */
  readonly roomC: number;
  /** Seconds to reach it at the present rate; absent when the probe is steady or cooling. */
  readonly roomS?: number;
  /** Which setpoint, and where it sits on the scale. */
  readonly to: 'warning' | 'alarm';
  readonly setpointC: number;
};

/** Room to the nearest setpoint ahead: the warning while below it, then the alarm. Absent without limits. */
export const roomOf = (
  { limits, place }: Pick<ProbeCard, 'limits' | 'place'>,
  temperatureC: number,
  rise: number | undefined,
): Room | undefined => {
  const ahead = (['warning', 'alarm'] as const)
    .flatMap((to) => (limits[to] ? [{ to, setpointC: limits[to].raiseAtC }] : []))
    .sort((a, b) => a.setpointC - b.setpointC);
  const next = ahead.find(({ setpointC }) => temperatureC < setpointC) ?? ahead.at(-1);
  if (!next) return undefined;
  const roomC = next.setpointC - temperatureC;
  const roomS = rise !== undefined && rise > steadyCPerS(place) && roomC > 0 ? roomC / rise : undefined;
  return roomS !== undefined && roomS <= furthestS ? { ...next, roomC, roomS } : { ...next, roomC };
};
