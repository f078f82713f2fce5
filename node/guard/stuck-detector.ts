import type { MonotonicMs } from '../time/clock.js';

/**
 * How long one probe has said the very same, to the last digit of its converter, and how far another probe in the
 * exhaust of the same engine went meanwhile. Time alone proves nothing: a quiet converter on a boat at anchor repeats
 * a count all night. But gas that comes or goes moves everything it touches.
 */
export type StuckState = {
  readonly raw: number;
  readonly sinceMs: MonotonicMs;
  /** How far the witness went since; undefined before it was heard, and while the engine is known to be stopped. */
  readonly lowC: number | undefined;
  readonly highC: number | undefined;
  /** When the witness had gone far enough for this probe to have to follow. */
  readonly movedAtMs: MonotonicMs | undefined;
  readonly stuck: boolean;
};

/** The other probe of the exhaust now, and how far it must go before this one has to follow. */
export type Witness = { readonly temperatureC: number | undefined; readonly movesK: number };

/** Three times the slowest ring's time constant of 20 s: 95 % of its way is made by then. */
const mustFollowMs = 60_000;
/** Over a longer gap it is not known whether it stayed the same. */
const gapMs = 5_000;

/** Takes one good reading. `beforeMs` is when the last good one was made. */
export function stepStillness(
  before: StuckState | undefined,
  raw: number,
  atMs: MonotonicMs,
  beforeMs: MonotonicMs | undefined,
  witness: Witness | undefined,
): StuckState | undefined {
  const witnessC = witness?.temperatureC;
  if (!before || before.raw !== raw || beforeMs === undefined || atMs - beforeMs > gapMs)
    return { raw, sinceMs: atMs, lowC: witnessC, highC: witnessC, movedAtMs: undefined, stuck: false };
  if (before.stuck) return before;
  if (!witness)
    return before.lowC === undefined
      ? before
      : { ...before, lowC: undefined, highC: undefined, movedAtMs: undefined };
  const lowC = least(before.lowC, witnessC);
  const highC = most(before.highC, witnessC);
  const far = lowC !== undefined && highC !== undefined && highC - lowC >= witness.movesK;
  const movedAtMs = before.movedAtMs ?? (far ? atMs : undefined);
  const stuck = movedAtMs !== undefined && atMs - movedAtMs >= mustFollowMs;
  return { raw, sinceMs: before.sinceMs, lowC, highC, movedAtMs, stuck };
}

const least = (a: number | undefined, b: number | undefined) =>
  a === undefined ? b : b === undefined ? a : Math.min(a, b);
const most = (a: number | undefined, b: number | undefined) =>
  a === undefined ? b : b === undefined ? a : Math.max(a, b);
