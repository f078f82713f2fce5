import type { MonotonicMs } from '../clock.js';
import type { Place } from '../kit/schema.js';
import type { MissingReason, Reading } from '../reading.js';

/** How one channel stands: what can be believed of it now. Plain data, bounded. */
export type ChannelState = {
  /** Readings of the last 2.5 s, five at most, oldest first. */
  readonly window: readonly { readonly atMs: number; readonly temperatureC: number }[];
  /** Last good reading as it came, for the hard limits. */
  readonly lastGoodC?: number;
  readonly lastGoodAtMs?: MonotonicMs;
  /** When anything at all last came. */
  readonly heardAtMs?: MonotonicMs;
  /** Since when every reading was missing, and the last reason. */
  readonly missingSinceMs?: MonotonicMs;
  readonly missingReason?: MissingReason;
  /** Since when readings stood far from the filter, held back as a jump. */
  readonly jumpSinceMs?: MonotonicMs;
  /** Filters over the believed value, tau 1 s and 4.5 s; absent before the first. */
  readonly fastC?: number;
  readonly slowC?: number;
};

export const silentChannel: ChannelState = { window: [] };

type Bounds = { readonly spreadK: number; readonly jumpK: number };
const boundsOf = (place: Place): Bounds =>
  place === 'dry-exhaust' || place === 'before-turbo'
    ? { spreadK: 48, jumpK: 120 }
    : { spreadK: 7, jumpK: 18 };

const fastTauS = 1;
const slowTauS = 4.5;
const windowMs = 2500;
/** A missing or jumping channel becomes a fault after this long. */
export const faultAfterMs = 4000;
/** A channel nobody heard of for this long is stale. */
export const staleAfterMs = 8000;

/** Takes one reading into the channel. */
export function takeReading(channel: ChannelState, reading: Reading, place: Place): ChannelState {
  const atMs = reading.readAtMs;
  if (reading.result.kind === 'missing')
    return {
      ...channel,
      heardAtMs: atMs,
      missingSinceMs: channel.missingSinceMs ?? atMs,
      missingReason: reading.result.reason,
    };
  const { missingSinceMs: _since, missingReason: _reason, ...rest } = channel;
  const temperatureC = reading.result.temperatureC;
  const window = [
    ...channel.window.slice(-4).filter((r) => r.atMs > atMs - windowMs),
    { atMs, temperatureC },
  ];
  const good = { ...rest, window, lastGoodC: temperatureC, lastGoodAtMs: atMs, heardAtMs: atMs };
  const bounds = boundsOf(place);
  const believedC = medianUnlessSpread(window, bounds.spreadK);
  if (believedC === undefined) return good;
  if (channel.fastC === undefined || channel.slowC === undefined || channel.lastGoodAtMs === undefined)
    return { ...good, fastC: believedC, slowC: believedC };
  if (Math.abs(believedC - channel.fastC) > bounds.jumpK) {
    const jumpSinceMs = channel.jumpSinceMs ?? atMs;
    // A jump that stays is told as a fault; the filters start anew from it so that the guard is not left blind.
    if (atMs - jumpSinceMs < 2 * faultAfterMs) return { ...good, jumpSinceMs };
    const { jumpSinceMs: _jump, ...settled } = good;
    return { ...settled, fastC: believedC, slowC: believedC };
  }
  const { jumpSinceMs: _jump, ...calm } = good;
  const dtS = Math.max(0, atMs - channel.lastGoodAtMs) / 1000;
  return {
    ...calm,
    fastC: channel.fastC + (believedC - channel.fastC) * (1 - Math.exp(-dtS / fastTauS)),
    slowC: channel.slowC + (believedC - channel.slowC) * (1 - Math.exp(-dtS / slowTauS)),
  };
}

/** Rate of change in K/s from the two filters; 0 before they are filled. */
export const slopeCPerS = (channel: ChannelState): number =>
  channel.fastC === undefined || channel.slowC === undefined
    ? 0
    : (channel.fastC - channel.slowC) / (slowTauS - fastTauS);

function medianUnlessSpread(
  window: readonly { readonly temperatureC: number }[],
  spreadK: number,
): number | undefined {
  const sorted = window.map((r) => r.temperatureC).sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const low = sorted[Math.max(0, middle - 1)];
  const high = sorted[Math.min(sorted.length - 1, middle + 1)];
  if (low === undefined || high === undefined || high - low > spreadK) return undefined;
  return sorted[middle];
}

export type ChannelFault = MissingReason | 'jump';

/** What is wrong with the channel now, if it has been wrong long enough to be told. */
export function faultOf(
  channel: ChannelState,
  nowMs: MonotonicMs,
  awakeSinceMs: MonotonicMs,
): ChannelFault | undefined {
  if (nowMs - (channel.heardAtMs ?? awakeSinceMs) > staleAfterMs) return 'stale';
  if (channel.missingSinceMs !== undefined && nowMs - channel.missingSinceMs >= faultAfterMs)
    return channel.missingReason;
  if (channel.jumpSinceMs !== undefined && nowMs - channel.jumpSinceMs >= faultAfterMs) return 'jump';
  return undefined;
}
