import type { Place } from '../kit/places.js';
import { numbersOf } from '../reading/quantity.js';
import { type MissingReason, type Reading, temperatureOf } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';

import { type ChannelState, fastTauS, slopeOf, slowTauS } from './channel-state.js';
import { faultAfterMs, settleMs } from './channel-trust.js';
import { medianUnlessSpread, slide } from './channel-window.js';
import { breaks, burst, calmMs } from './loose-contact.js';
import { type ReferenceProbe, stepStuck } from './stuck-detector.js';

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

const youngMs = 20_000;
/** Over a longer gap a real temperature can have gone anywhere, s. */
const longGapS = 15;
/** Takes one reading into the channel. `reference` is the probe whose changes this one has to follow, where there is one. */
export function takeReading(
  channel: ChannelState,
  reading: Reading,
  place: Place,
  reference?: ReferenceProbe,
): ChannelState {
  const { readAtMs: atMs, result } = reading;
  if (result.kind === 'missing') return takeMissing(channel, result.reason, atMs);
  const temperatureC = temperatureOf(reading);
  if (temperatureC === undefined) return heardWell(channel, reading);
  const bounds = boundsOf(place);
  const { windowAtMs, windowC } = slide(channel, atMs, temperatureC);
  // The middle three of five span about half the window, three of three all of it.
  const middleS = ((atMs - (windowAtMs[0] ?? atMs)) / 1000) * (windowC.length > 3 ? 0.5 : 1);
  const believedC = medianUnlessSpread(windowC, bounds.spreadK + bounds.fastestKPerS * middleS);
  const filters = stepFilters(channel, believedC, atMs, bounds, reference !== undefined);
  const calm =
    filters.jumpSinceMs === undefined &&
    (filters.wildAtMs === undefined || atMs - filters.wildAtMs >= settleMs) &&
    windowC.length >= 3 &&
    Math.max(...windowC) - Math.min(...windowC) <= bounds.spreadK;
  const { fastC, slowC, wildAtMs, jumpSinceMs, jumpedC, jumpedFromC, begunAtMs, bursts, burstAtMs } = filters;
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
    fastC,
    slowC,
    calmC: calm ? fastC : channel.calmC,
    calmCPerS: calm ? slopeOf(fastC, slowC) : channel.calmCPerS,
    bursts,
    burstAtMs,
    unchanged: stepStuck(
      channel.unchanged,
      reading.signal?.raw ?? temperatureC,
      atMs,
      channel.lastGoodAtMs,
      reference,
    ),
  };
}

/** A lost board says nothing of the probe: a fault that was active stays so, and grows older. */
const takeMissing = (channel: ChannelState, reason: MissingReason, atMs: MonotonicMs): ChannelState => {
  const { missingSinceMs, missingReason, lastGoodAtMs } = channel;
  const missing = { ...channel, heardAtMs: atMs, unchanged: undefined };
  if (reason === 'board-away')
    return {
      ...missing,
      missingSinceMs: missingSinceMs ?? atMs,
      missingReason: missingReason ?? 'board-away',
    };
  const begins = missingSinceMs === undefined && lastGoodAtMs !== undefined && breaks.has(reason);
  return {
    ...missing,
    ...(begins && burst(channel, atMs)),
    missingSinceMs: missingReason === 'board-away' ? atMs : (missingSinceMs ?? atMs),
    missingReason: reason,
  };
};

type Filters = Pick<
  ChannelState,
  | 'fastC'
  | 'slowC'
  | 'wildAtMs'
  | 'bursts'
  | 'burstAtMs'
  | 'jumpSinceMs'
  | 'jumpedC'
  | 'jumpedFromC'
  | 'begunAtMs'
>;

/** The filters after one more value; `believedC` is undefined while the window is too wild to believe. No spreads, for speed. */
function stepFilters(
  channel: ChannelState,
  believedC: number | undefined,
  atMs: MonotonicMs,
  bounds: Bounds,
  mayRun: boolean,
): Filters {
  const { lastGoodAtMs } = channel;
  let { fastC, slowC, wildAtMs, bursts, burstAtMs, begunAtMs } = channel;
  let jump = jumpOf(channel);
  const sinceS = lastGoodAtMs === undefined ? 0 : Math.max(0, atMs - lastGoodAtMs) / 1000;
  if (believedC === undefined) {
    // The filters wait.
    if (wildAtMs === undefined || atMs - wildAtMs > calmMs) ({ bursts, burstAtMs } = burst(channel, atMs));
    wildAtMs = atMs;
  } else if (
    fastC === undefined ||
    slowC === undefined ||
    lastGoodAtMs === undefined ||
    (sinceS > longGapS && !jump)
  ) {
    // Nothing is known of what happened in between: it begins again.
    fastC = slowC = believedC;
    begunAtMs = atMs;
  } else if (isBack(channel, believedC, atMs, bounds)) {
    // After a burst it reads as before it: the burst was the jump, not this.
    fastC = slowC = believedC;
    jump = undefined;
  } else if (Math.abs(believedC - fastC) > bounds.jumpK + bounds.fastestKPerS * Math.min(sinceS, 2)) {
    jump = stepJump(jump, believedC, atMs, sinceS);
    if (isReal(jump, begunAtMs, atMs, bounds, mayRun)) {
      fastC = slowC = believedC;
      jump = undefined;
    }
  } else {
    fastC += (believedC - fastC) * (1 - Math.exp(-sinceS / fastTauS));
    slowC += (believedC - slowC) * (1 - Math.exp(-sinceS / slowTauS));
    jump = undefined;
  }
  return {
    fastC,
    slowC,
    wildAtMs,
    bursts,
    burstAtMs,
    begunAtMs,
    jumpSinceMs: jump?.jumpSinceMs,
    jumpedC: jump?.jumpedC,
    jumpedFromC: jump?.jumpedFromC,
  };
}

type Jump = { readonly jumpSinceMs: MonotonicMs; readonly jumpedC: number; readonly jumpedFromC: number };

const jumpOf = ({ jumpSinceMs, jumpedC, jumpedFromC }: ChannelState): Jump | undefined =>
  jumpSinceMs === undefined || jumpedC === undefined || jumpedFromC === undefined
    ? undefined
    : { jumpSinceMs, jumpedC, jumpedFromC };

/** Follows the level that was jumped to. */
function stepJump(jump: Jump | undefined, believedC: number, atMs: MonotonicMs, sinceS: number): Jump {
  if (!jump) return { jumpSinceMs: atMs, jumpedC: believedC, jumpedFromC: believedC };
  const { jumpSinceMs, jumpedC: levelC, jumpedFromC } = jump;
  const jumpedC = levelC + (believedC - levelC) * (1 - Math.exp(-sinceS / slowTauS));
  // What it does at once may be the jump itself, still on its way.
  return { jumpSinceMs, jumpedC, jumpedFromC: atMs - jumpSinceMs < faultAfterMs ? jumpedC : jumpedFromC };
}

/**
 * On an engine that may run a jump is a fault until the new level moves as real things do. At rest, as when a probe is
 * dipped or changed, it is believed once it stays. Limits judge what is read all the while.
 */
function isReal(
  { jumpSinceMs, jumpedC, jumpedFromC }: Jump,
  begunAtMs: number | undefined,
  atMs: MonotonicMs,
  { explainsK }: Bounds,
  mayRun: boolean,
): boolean {
  const staysMs = atMs - jumpSinceMs;
  // Filters that have only just begun may have begun in a burst of a loose connection: then what stays is the truth.
  const isYoung = jumpSinceMs - (begunAtMs ?? Number.NEGATIVE_INFINITY) < youngMs;
  return (
    Math.abs(jumpedC - jumpedFromC) > explainsK ||
    (isYoung && staysMs >= faultAfterMs) ||
    (!mayRun && staysMs >= 2 * faultAfterMs)
  );
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
    unchanged:
      raw === undefined
        ? undefined
        : stepStuck(channel.unchanged, raw, atMs, channel.lastGoodAtMs, undefined),
  };
};

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

/** A burst that is over shows within this: the window has to fill with what is read now. */
const backWithinMs = 5_000;
