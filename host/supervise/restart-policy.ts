/**
 * When to start a process again after it ended. Pure: the caller keeps the clock and does the waiting.
 * A guard that is down is a danger, so the first restart comes at once and later ones wait at most 5 s.
 */
export type RestartState = { readonly everReady: boolean; readonly recentEndsAtMs: readonly number[] };

export type RestartDecision =
  | { readonly kind: 'restart'; readonly afterMs: number; readonly state: RestartState }
  | { readonly kind: 'give-up'; readonly why: string };

const waitsMs = [0, 500, 1000, 2000, 5000] as const;
/** Ends older than this no longer lengthen the wait. */
const forgetAfterMs = 60_000;

export const freshRestartState: RestartState = { everReady: false, recentEndsAtMs: [] };

/** `exitCode` null means ended by a signal. 2 and 3 are the command line's "asked wrongly" and "could not". */
export const afterEnd = (state: RestartState, exitCode: number | null, atMs: number): RestartDecision => {
  if (exitCode === 2) return { kind: 'give-up', why: 'it was asked wrongly; a restart cannot mend that' };
  if (!state.everReady) return { kind: 'give-up', why: 'it never came up' };
  const recent = state.recentEndsAtMs.filter((endedAtMs) => atMs - endedAtMs < forgetAfterMs);
  const afterMs = waitsMs[Math.min(recent.length, waitsMs.length - 1)] ?? 5000;
  return {
    kind: 'restart',
    afterMs,
    state: { everReady: true, recentEndsAtMs: [...recent, atMs].slice(-waitsMs.length) },
  };
};
