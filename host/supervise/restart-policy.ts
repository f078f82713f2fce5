/**
 * When to start a process again after it ended. Pure: the caller keeps the clock and does the waiting. A guard that is
 * down is a danger, so the first restart comes at once, later ones wait longer, and there is always another.
 */
export type RestartState = {
  readonly everReady: boolean;
  /** Ends in a row, none of them after a good run. */
  readonly endsInARow: number;
};

export type RestartDecision =
  | {
      readonly kind: 'restart';
      readonly afterMs: number;
      /** Somebody must put something right first; said, because a restart alone will not do it. */
      readonly needsRepair?: string;
      readonly state: RestartState;
    }
  | { readonly kind: 'end-all'; readonly why: string };

const waitsMs = [0, 500, 1_000, 2_000, 5_000, 10_000, 30_000] as const;
/** For what will most likely end in the same way again: soon enough for somebody who repairs it, seldom enough for a log. */
const repairWaitsMs = [1_000, 2_000, 5_000, 10_000, 30_000] as const;
/** Who ran so long ran well. */
const goodRunMs = 60_000;

export const freshRestartState: RestartState = { everReady: false, endsInARow: 0 };

/**
 * `exitCode` null means ended by a signal; 2 is the command line’s bad options. `ranMs` is how long it ran. A member
 * that `endsAll` ends the whole when it cannot come up, any other is started again for ever.
 */
export const afterEnd = (
  state: RestartState,
  { exitCode, ranMs }: { readonly exitCode: number | null; readonly ranMs: number },
  endsAll: boolean,
): RestartDecision => {
  const endsInARow = state.everReady && ranMs >= goodRunMs ? 0 : state.endsInARow;
  const next = { ...state, endsInARow: endsInARow + 1 };
  const why =
    exitCode === 2
      ? 'something it was given cannot be used'
      : state.everReady
        ? undefined
        : 'it never came up';
  if (why !== undefined && endsAll) return { kind: 'end-all', why };
  const waits = why === undefined ? waitsMs : repairWaitsMs;
  const afterMs = waits[Math.min(endsInARow, waits.length - 1)] ?? 30_000;
  return {
    kind: 'restart',
    afterMs,
    ...(why !== undefined && { needsRepair: why }),
    state: next,
  };
};
