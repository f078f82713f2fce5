import type { Place } from '../kit/places.js';
import { numbersOf } from '../reading/quantity.js';
import { type Reading, temperatureOf } from '../reading/reading.js';

import { type ChannelState, fastTauS, slopeOf, slowTauS } from './channel-state.js';
import { faultAfterMs, settleMs } from './channel-trust.js';
import { breaks, burst, calmMs } from './loose-contact.js';
import { stepStillness, type Witness } from './stuck-detector.js';

/** Widest believable spread and jump, and how fast the real thing can change: slower sampling allows more of both. */
type Bounds = {
  readonly spreadK: number;
  readonly jumpK: number;
  readonly fastestKPerS: number;
  /** A level that was jumped to is real once it has moved on by this much: a short or a stuck input stays where it is. */
  readonly explainsK: number;
};
const elbowBounds: Bounds = { spreadK: 7, jumpK: 18, fastestKPerS: 10, explainsK: 5 };
const exhaustBounds: Bounds = { spreadK: 48, jumpK: 120, fastestKPerS: 50, explainsK: 30 };
const boundsOf = (place: Place): Bounds =>
  place === 'dry-exhaust' || place === 'before-turbo' ? exhaustBounds : elbowBounds;

const windowMs = 2500;
const youngMs = 20_000;
/** Over a longer gap a real temperature can have gone anywhere, s. */
const longGapS = 15;
/** Takes one reading into the channel. `witness` is the probe whose moves this one has to follow, where there is one. */
export function takeReading(
  channel: ChannelState,
  reading: Reading,
  place: Place,
  witness?: Witness,
): ChannelState {
  const atMs = reading.readAtMs;
  if (reading.result.kind === 'missing' && reading.result.reason === 'board-away')
    // Says nothing of the probe: a fault that stood goes on, and grows older.
    return {
      ...channel,
      heardAtMs: atMs,
      missingSinceMs: channel.missingSinceMs ?? atMs,
      missingReason: channel.missingReason ?? 'board-away',
      still: undefined,
    };
  if (reading.result.kind === 'missing')
    return {
      ...channel,
      ...(channel.missingSinceMs === undefined &&
        channel.lastGoodAtMs !== undefined &&
        breaks.has(reading.result.reason) &&
        burst(channel, atMs)),
      heardAtMs: atMs,
      missingSinceMs: channel.missingReason === 'board-away' ? atMs : (channel.missingSinceMs ?? atMs),
      missingReason: reading.result.reason,
      still: undefined,
    };
  const temperatureC = temperatureOf(reading);
  if (temperatureC === undefined) return heardWell(channel, reading);
  const { fastC, slowC, lastGoodAtMs } = channel;
  const { windowAtMs, windowC } = slide(channel, atMs, temperatureC);
  const bounds = boundsOf(place);
  // The middle three of five span about half the window, three of three all of it.
  const middleS = ((atMs - (windowAtMs[0] ?? atMs)) / 1000) * (windowC.length > 3 ? 0.5 : 1);
  const believedC = medianUnlessSpread(windowC, bounds.spreadK + bounds.fastestKPerS * middleS);
  const sinceS = lastGoodAtMs === undefined ? 0 : Math.max(0, atMs - lastGoodAtMs) / 1000;
  let wildAtMs = channel.wildAtMs;
  let { bursts, burstAtMs } = channel;
  let nextFastC = fastC;
  let nextSlowC = slowC;
  let { jumpSinceMs, jumpedC, jumpedFromC, begunAtMs } = channel;
  if (believedC === undefined) {
    // The filters wait.
    if (wildAtMs === undefined || atMs - wildAtMs > calmMs) ({ bursts, burstAtMs } = burst(channel, atMs));
    wildAtMs = atMs;
  } else if (
    fastC === undefined ||
    slowC === undefined ||
    lastGoodAtMs === undefined ||
    (sinceS > longGapS && jumpSinceMs === undefined)
  ) {
    // Nothing is known of what lies between: it begins again.
    nextFastC = nextSlowC = believedC;
    begunAtMs = atMs;
  } else if (isBack(channel, believedC, atMs, bounds)) {
    // After a burst it reads as before it: the burst was the jump, not this.
    nextFastC = nextSlowC = believedC;
    jumpSinceMs = jumpedC = jumpedFromC = undefined;
  } else if (Math.abs(believedC - fastC) > bounds.jumpK + bounds.fastestKPerS * Math.min(sinceS, 2)) {
    jumpSinceMs ??= atMs;
    jumpedC =
      (jumpedC ?? believedC) + (believedC - (jumpedC ?? believedC)) * (1 - Math.exp(-sinceS / slowTauS));
    // What it does at once may be the jump itself, still on its way.
    if (jumpedFromC === undefined || atMs - jumpSinceMs < faultAfterMs) jumpedFromC = jumpedC;
    // On an engine that may run a jump is a fault until the new level moves as real things do. At rest, as when a probe is
    // dipped or changed, it is believed once it stays. Limits judge what is read all the while.
    const moved = Math.abs(jumpedC - jumpedFromC) > bounds.explainsK;
    // Filters that have only just begun may have begun in a burst of a loose connection: then what stays is the truth.
    const young = jumpSinceMs - (begunAtMs ?? Number.NEGATIVE_INFINITY) < youngMs;
    const staysMs = atMs - jumpSinceMs;
    if (moved || (young && staysMs >= faultAfterMs) || (!witness && staysMs >= 2 * faultAfterMs)) {
      nextFastC = nextSlowC = believedC;
      jumpSinceMs = jumpedC = jumpedFromC = undefined;
    }
  } else {
    nextFastC = fastC + (believedC - fastC) * (1 - Math.exp(-sinceS / fastTauS));
    nextSlowC = slowC + (believedC - slowC) * (1 - Math.exp(-sinceS / slowTauS));
    jumpSinceMs = jumpedC = jumpedFromC = undefined;
  }
  const calm =
    jumpSinceMs === undefined &&
    (wildAtMs === undefined || atMs - wildAtMs >= settleMs) &&
    windowC.length >= 3 &&
    Math.max(...windowC) - Math.min(...windowC) <= bounds.spreadK;
  return {
    windowAtMs,
    windowC,
    lastGoodC: temperatureC,
    lastGoodAtMs: atMs,
    heardAtMs: atMs,
    missingSinceMs: undefined,
    missingReason: undefined,
    wildAtMs,
    jumpSinceMs,
    jumpedC,
    jumpedFromC,
    begunAtMs,
    fastC: nextFastC,
    slowC: nextSlowC,
    calmC: calm ? nextFastC : channel.calmC,
    calmCPerS: calm ? slopeOf(nextFastC, nextSlowC) : channel.calmCPerS,
    bursts,
    burstAtMs,
    still: stepStillness(channel.still, reading.signal?.raw ?? temperatureC, atMs, lastGoodAtMs, witness),
  };
}

/** A good reading of another quantity: the filters here are for temperatures, whose probes are slow. */
const heardWell = (channel: ChannelState, { readAtMs: atMs, result, signal }: Reading): ChannelState => {
  const raw = signal?.raw ?? (result.kind === 'measured' ? numbersOf(result).value : undefined);
  return {
    ...channel,
    lastGoodAtMs: atMs,
    heardAtMs: atMs,
    missingSinceMs: undefined,
    missingReason: undefined,
    still:
      raw === undefined
        ? undefined
        : stepStillness(channel.still, raw, atMs, channel.lastGoodAtMs, undefined),
  };
};

/** The window with the new reading in, and without what is too old or one too many. */
function slide(channel: ChannelState, atMs: number, temperatureC: number) {
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

/** Whether what is read after a burst is what was read before it, while the filters are elsewhere. */
const isBack = (
  { wildAtMs, fastC, calmC }: ChannelState,
  nowC: number,
  atMs: number,
  { jumpK }: Bounds,
): boolean =>
  fastC !== undefined &&
  calmC !== undefined &&
  wildAtMs !== undefined &&
  atMs - wildAtMs < backWithinMs &&
  Math.abs(nowC - fastC) > Math.abs(nowC - calmC) &&
  Math.abs(nowC - calmC) <= jumpK / 2;

/** Median, unless its two neighbours are further apart than `spreadK`: then nothing in the window can be believed. */
function medianUnlessSpread(values: readonly number[], spreadK: number): number | undefined {
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

/** A burst that is over shows within this: the window has to fill with what is read now. */
const backWithinMs = 5_000;
