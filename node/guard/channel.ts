import type { Place } from '../kit/places.js';
import { type MissingReason, type Reading, temperatureOf } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import { type StuckState, stepStillness, type Witness } from './stuck-detector.js';

/** The state of one channel: what can be believed of it now. Plain data, bounded; every field is always there, for speed. */
export type ChannelState = {
  /** Readings of the last 2.5 s, five at most, oldest first: their times and temperatures. */
  readonly windowAtMs: readonly number[];
  readonly windowC: readonly number[];
  /** Last good reading as it came, for the hard limits. */
  readonly lastGoodC: number | undefined;
  readonly lastGoodAtMs: MonotonicMs | undefined;
  /** When anything at all last came. */
  readonly heardAtMs: MonotonicMs | undefined;
  /** Since when every reading was missing, and the last reason. */
  readonly missingSinceMs: MonotonicMs | undefined;
  readonly missingReason: MissingReason | undefined;
  /** When the window was last too wild to believe, as in a burst of a loose connection. */
  readonly wildAtMs: MonotonicMs | undefined;
  /** Since when readings stood far from the filter, held back as a jump. */
  readonly jumpSinceMs: MonotonicMs | undefined;
  /** The level it jumped to, followed with 4.5 s, and where that began, C; undefined while there is no jump. */
  readonly jumpedC: number | undefined;
  readonly jumpedFromC: number | undefined;
  /** Filters over the believed value, tau 1 s and 4.5 s; undefined before the first. */
  readonly fastC: number | undefined;
  readonly slowC: number | undefined;
  /** Level and rate when contact was last sure, C and K/s: what a burst leaves in the filters is chance. */
  readonly calmC: number | undefined;
  readonly calmCPerS: number;
  /** How often contact has broken lately: one for each burst, forgotten with a time constant of a minute. */
  readonly bursts: number;
  readonly burstAtMs: MonotonicMs | undefined;
  /** Whether it still moves; undefined before the first good reading and while there is none. */
  readonly still: StuckState | undefined;
};

export const silentChannel: ChannelState = {
  windowAtMs: [],
  windowC: [],
  lastGoodC: undefined,
  lastGoodAtMs: undefined,
  heardAtMs: undefined,
  missingSinceMs: undefined,
  missingReason: undefined,
  wildAtMs: undefined,
  jumpSinceMs: undefined,
  jumpedC: undefined,
  jumpedFromC: undefined,
  fastC: undefined,
  slowC: undefined,
  calmC: undefined,
  calmCPerS: 0,
  bursts: 0,
  burstAtMs: undefined,
  still: undefined,
};

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

const fastTauS = 1;
const slowTauS = 4.5;
const windowMs = 2500;
/** Over a longer gap a real temperature can have gone anywhere, s. */
const longGapS = 15;
/** A missing or jumping channel becomes a fault after this long. */
export const faultAfterMs = 4000;
/** A channel without a reading for this long is stale. */
export const staleAfterMs = 8000;

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
  if (temperatureC === undefined) return heardWell(channel, atMs);
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
  let { jumpSinceMs, jumpedC, jumpedFromC } = channel;
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
    if (moved || (!witness && atMs - jumpSinceMs >= 2 * faultAfterMs)) {
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
const heardWell = (channel: ChannelState, atMs: MonotonicMs): ChannelState => ({
  ...channel,
  lastGoodAtMs: atMs,
  heardAtMs: atMs,
  missingSinceMs: undefined,
  missingReason: undefined,
});

/** What a wire says that loses contact for a moment. A chip or a link that stumbles says something else. */
const breaks: ReadonlySet<MissingReason> = new Set(['open', 'short', 'short-to-supply', 'out-of-range']);
/** Two breaks closer together than this are one burst. */
const calmMs = 1_000;
const burstsTauMs = 60_000;
const looseBursts = 6;

const burst = ({ bursts, burstAtMs }: ChannelState, atMs: MonotonicMs) => {
  if (burstAtMs !== undefined && atMs - burstAtMs < calmMs) return { bursts, burstAtMs };
  return { bursts: burstsLeft(bursts, burstAtMs, atMs) + 1, burstAtMs: atMs };
};

const burstsLeft = (bursts: number, burstAtMs: MonotonicMs | undefined, atMs: number): number =>
  burstAtMs === undefined ? 0 : bursts * Math.exp(-(atMs - burstAtMs) / burstsTauMs);

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

/** Rate of change in K/s from the two filters; 0 before they are filled. */
export const slopeCPerS = ({ fastC, slowC }: ChannelState): number => slopeOf(fastC, slowC);

const slopeOf = (fastC: number | undefined, slowC: number | undefined): number =>
  fastC === undefined || slowC === undefined ? 0 : (fastC - slowC) / (slowTauS - fastTauS);

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
  return channel.still?.stuck ? 'stuck' : undefined;
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
  channel.still?.stuck === true ||
  nowMs - channel.heardAtMs > staleAfterMs ||
  (channel.missingSinceMs !== undefined && nowMs - channel.missingSinceMs >= faultAfterMs) ||
  (channel.jumpSinceMs !== undefined && nowMs - channel.jumpSinceMs >= faultAfterMs)
    ? undefined
    : channel.fastC;

/** A burst that is over shows within this: the window has to fill with what is read now. */
const backWithinMs = 5_000;
/** After a wild moment the slope means nothing until the filters have settled. */
const settleMs = 3000;
export const isSettling = (channel: ChannelState, nowMs: MonotonicMs): boolean =>
  channel.jumpSinceMs !== undefined || isScattered(channel, nowMs);

/** Whether its readings lie, or lately lay, so far apart that none of them can be believed. */
export const isScattered = ({ wildAtMs }: ChannelState, nowMs: MonotonicMs): boolean =>
  wildAtMs !== undefined && nowMs - wildAtMs < settleMs;
