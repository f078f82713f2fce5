import type { Condition } from '../alerts/condition.js';
import type { MonotonicMs } from '../time/clock.js';

/** What is known of the board itself: whether it is there, and how often it was lost of late. */
export type BoardWatch = {
  /** Whether it has answered since this start. */
  readonly seen: boolean;
  readonly awaySinceMs: MonotonicMs | undefined;
  /** One for each loss, forgotten with a time constant of ten minutes. */
  readonly losses: number;
  readonly lossesAtMs: MonotonicMs;
  readonly unsteady: boolean;
};

export const firstBoardWatch = (nowMs: MonotonicMs): BoardWatch => ({
  seen: false,
  awaySinceMs: undefined,
  losses: 0,
  lossesAtMs: nowMs,
  unsteady: false,
});

/** A board that was there and is gone is reported after this long; one that has not answered yet may still be starting. */
const graceMs = 3_000;
const firstGraceMs = 12_000;
/** From here on it is not a blink any more, however unsteady it was. */
const goneMs = 30_000;

const lossesTauMs = 600_000;
const mostLosses = 6;
/** Reached by the third loss within six minutes; left four to fourteen minutes after the last. */
const unsteadyFrom = 2.2;
const steadyBelow = 1.5;

const lossesNow = ({ losses, lossesAtMs }: BoardWatch, nowMs: MonotonicMs): number =>
  losses * Math.exp(-(nowMs - lossesAtMs) / lossesTauMs);

export function stepBoard(before: BoardWatch, connected: boolean, nowMs: MonotonicMs): BoardWatch {
  const left = lossesNow(before, nowMs);
  if (connected) {
    const unsteady = before.unsteady && left >= steadyBelow;
    if (before.seen && before.awaySinceMs === undefined && unsteady === before.unsteady) return before;
    return { ...before, seen: true, awaySinceMs: undefined, unsteady };
  }
  if (before.awaySinceMs !== undefined) return before;
  if (!before.seen) return { ...before, awaySinceMs: nowMs };
  const losses = Math.min(mostLosses, left + 1);
  const unsteady = before.unsteady || losses >= unsteadyFrom;
  return { ...before, awaySinceMs: nowMs, losses, lossesAtMs: nowMs, unsteady };
}

/** The board is lost, or comes and goes. */
export function boardCondition(watch: BoardWatch, nowMs: MonotonicMs): Condition | undefined {
  const { seen, awaySinceMs, unsteady } = watch;
  const awayMs = awaySinceMs === undefined ? 0 : nowMs - awaySinceMs;
  const about = { situation: 'board', subject: 'board', priority: 'warning' } as const;
  if (awaySinceMs !== undefined && awayMs >= (unsteady ? goneMs : seen ? graceMs : firstGraceMs))
    return {
      ...about,
      rule: 'board-lost',
      message: 'The board is lost: no probe is read and nothing is guarded.',
      evidence: { values: { forS: awayMs / 1000 }, thresholds: {} },
      // Who knew that it comes and goes, or of an earlier loss, does not know of this one.
      asksFor: [`lost-${awaySinceMs}`],
    };
  if (!unsteady) return undefined;
  return {
    ...about,
    rule: 'board-unsteady',
    message: 'The board comes and goes; while it is away no probe is read and nothing is guarded.',
    evidence: {
      values: { lossesOfLate: lossesNow(watch, nowMs) },
      thresholds: { lossesOfLate: unsteadyFrom },
    },
  };
}
