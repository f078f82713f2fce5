import type { MissingReason } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import type { ChannelState } from './channel-state.js';
import { burstsLeft, looseBursts } from './loose-contact.js';

/** A missing or jumping channel becomes a fault after this long. */
export const faultAfterMs = 4000;
/** A channel without a reading for this long is stale. */
export const staleAfterMs = 8000;

export type ChannelFault = MissingReason | 'jump' | 'loose' | 'stuck';

/** After a start or the return of the board a channel is pending, not at fault, for this long. */
const pendingMs = 12_000;

/**
 * What is wrong with the channel now, if it has been wrong long enough to be reported. That the board is away is the
 * board's own alert and no fault of the probe; and a board that blinks does not make a fault young again.
 */
export function faultOf(
  channel: ChannelState,
  nowMs: MonotonicMs,
  awakeSinceMs: MonotonicMs,
): ChannelFault | undefined {
  const pending = nowMs - awakeSinceMs < pendingMs;
  if (!pending && nowMs - Math.max(channel.heardAtMs ?? awakeSinceMs, awakeSinceMs) > staleAfterMs)
    return 'stale';
  const { missingSinceMs, missingReason } = channel;
  if (
    missingSinceMs !== undefined &&
    missingReason !== 'board-away' &&
    nowMs - missingSinceMs >= (pending ? pendingMs : faultAfterMs)
  )
    return missingReason;
  if (!pending && channel.jumpSinceMs !== undefined && nowMs - channel.jumpSinceMs >= faultAfterMs)
    return 'jump';
  if (burstsLeft(channel.bursts, channel.burstAtMs, nowMs) >= looseBursts) return 'loose';
  return channel.unchanged?.stuck ? 'stuck' : undefined;
}

/** Whether the channel has not yet had its time to say how it is since the start or the return of the board. */
export const isPending = (
  { lastGoodAtMs }: ChannelState,
  nowMs: MonotonicMs,
  awakeSinceMs: MonotonicMs,
): boolean => nowMs - awakeSinceMs < pendingMs && (lastGoodAtMs === undefined || lastGoodAtMs < awakeSinceMs);

/** Can the filtered value be acted on now? That of a pending, missing, jumping, stuck or stale channel cannot. */
export const believedC = (channel: ChannelState, nowMs: MonotonicMs): number | undefined =>
  channel.heardAtMs === undefined ||
  channel.unchanged?.stuck === true ||
  nowMs - channel.heardAtMs > staleAfterMs ||
  (channel.missingSinceMs !== undefined && nowMs - channel.missingSinceMs >= faultAfterMs) ||
  (channel.jumpSinceMs !== undefined && nowMs - channel.jumpSinceMs >= faultAfterMs)
    ? undefined
    : channel.fastC;

/** After a wild moment the slope means nothing until the filters have settled. */
export const settleMs = 3000;
export const isSettling = (channel: ChannelState, nowMs: MonotonicMs): boolean =>
  channel.jumpSinceMs !== undefined || isScattered(channel, nowMs);

/** Whether its readings lie, or lately lay, so far apart that none of them can be believed. */
export const isScattered = ({ wildAtMs }: ChannelState, nowMs: MonotonicMs): boolean =>
  wildAtMs !== undefined && nowMs - wildAtMs < settleMs;
