import type { MonotonicMs } from '../time/clock.js';

/**
 * How long the reading of one probe has not changed, to the last digit of its converter, and how far the reference probe, in the
 * exhaust of the same engine, moved meanwhile. Time alone proves nothing: a quiet converter on a boat at anchor repeats
 * a count all night. But gas that comes or goes moves everything it touches.
 */
export type StuckState = {
  readonly raw: number;
  readonly sinceMs: MonotonicMs;
  /** Range of the reference probe since; undefined before its first reading, and while the engine is known to be stopped. */
  readonly lowC: number | undefined;
  readonly highC: number | undefined;
  /** When the reference probe had moved far enough for this probe to have to follow. */
  readonly movedAtMs: MonotonicMs | undefined;
  readonly stuck: boolean;
};

/** The other probe of the exhaust now, C, and how far it must move before this one has to follow, K. */
export type ReferenceProbe = { readonly temperatureC: number | undefined; readonly movesK: number };

/** Three times the slowest ring's time constant of 20 s: it has made 95 % of its way by then. */
const mustFollowMs = 60_000;
/** Over a longer gap it is not known whether the reading stayed the same. */
const gapMs = 5_000;

/** Takes one good reading. `beforeMs` is when the last good one was made. */
export function stepStuck(
  before: StuckState | undefined,
  raw: number,
  atMs: MonotonicMs,
  beforeMs: MonotonicMs | undefined,
  reference: ReferenceProbe | undefined,
): StuckState | undefined {
  const referenceC = reference?.temperatureC;
  if (!before || before.raw !== raw || beforeMs === undefined || atMs - beforeMs > gapMs)
    return { raw, sinceMs: atMs, lowC: referenceC, highC: referenceC, movedAtMs: undefined, stuck: false };
  if (before.stuck) return before;
  if (!reference)
    return before.lowC === undefined
      ? before
      : { ...before, lowC: undefined, highC: undefined, movedAtMs: undefined };
  const lowC = least(before.lowC, referenceC);
  const highC = most(before.highC, referenceC);
  const far = lowC !== undefined && highC !== undefined && highC - lowC >= reference.movesK;
  const movedAtMs = before.movedAtMs ?? (far ? atMs : undefined);
  const stuck = movedAtMs !== undefined && atMs - movedAtMs >= mustFollowMs;
  return { raw, sinceMs: before.sinceMs, lowC, highC, movedAtMs, stuck };
}

const least = (a: number | undefined, b: number | undefined) =>
  a === undefined ? b : b === undefined ? a : Math.min(a, b);
const most = (a: number | undefined, b: number | undefined) =>
  a === undefined ? b : b === undefined ? a : Math.max(a, b);
