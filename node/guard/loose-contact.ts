import type { MissingReason } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import type { ChannelState } from './channel-state.js';

/** What a wire says that loses contact for a moment. A chip or a link that stumbles says something else. */
export const breaks: ReadonlySet<MissingReason> = new Set([
  'open',
  'short',
  'short-to-supply',
  'out-of-range',
]);
/** Two breaks closer together than this are one burst. */
export const calmMs = 1_000;
const burstsTauMs = 60_000;
/** So many of late and the contact is loose. */
export const looseBursts = 6;

/** The bursts with one more at `atMs`, unless it belongs to the last. */
export const burst = ({ bursts, burstAtMs }: ChannelState, atMs: MonotonicMs) => {
  if (burstAtMs !== undefined && atMs - burstAtMs < calmMs) return { bursts, burstAtMs };
  return { bursts: burstsLeft(bursts, burstAtMs, atMs) + 1, burstAtMs: atMs };
};

/** How many are left in memory at `atMs`. */
export const burstsLeft = (bursts: number, burstAtMs: MonotonicMs | undefined, atMs: number): number =>
  burstAtMs === undefined ? 0 : bursts * Math.exp(-(atMs - burstAtMs) / burstsTauMs);
