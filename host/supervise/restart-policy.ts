/**
 * When to start a process again after it ended. Pure: the caller keeps the clock and does the waiting.
 * A guard that is down is a danger, so the first restart comes at once and later ones wait at most 5 s.
 */
export type RestartState = { readonly everReady: boolean; readonly recentEndsAtMs: readonly number[] };

export type RestartDecision =
  | {
      readonly kind: 'restart';
      readonly afterMs: number;
      /** Somebody must mend something first; said, because a restart alone will not do it. */
      readonly needsMending?: string;
      readonly state: RestartState;
    }
  | { readonly kind: 'give-up'; readonly why: string };

const waitsMs = [0, 500, 1000, 2000, 5000] as const;
/** Ends older than this no longer lengthen the wait. */
const forgetAfterMs = 60_000;
/** Between two looks at what somebody must mend: soon enough for them, seldom enough for the log and a large store. */
const mendingWaitMs = 10_000;

export const freshRestartState: RestartState = { everReady: false, recentEndsAtMs: [] };

/**
 * `exitCode` null means ended by a signal. 2 and 3 are the command line's "asked wrongly" and "could not". A member that
 * is not `vital` is never given up: what it waits for may be mended, and the others go on meanwhile.
 */
export const afterEnd = (
  state: RestartState,
  exitCode: number | null,
  atMs: number,
  vital: boolean,
): RestartDecision => {
  const why =
    exitCode === 2
      ? 'it was asked wrongly; a restart cannot mend that'
      : state.everReady
        ? undefined
        : 'it never came up';
  if (why !== undefined && vital) return { kind: 'give-up', why };
  if (why !== undefined) return { kind: 'restart', afterMs: mendingWaitMs, needsMending: why, state };
  const recent = state.recentEndsAtMs.filter((endedAtMs) => atMs - endedAtMs < forgetAfterMs);
  const afterMs = waitsMs[Math.min(recent.length, waitsMs.length - 1)] ?? 5000;
  return {
    kind: 'restart',
    afterMs,
    state: { everReady: true, recentEndsAtMs: [...recent, atMs].slice(-waitsMs.length) },
  };
};
