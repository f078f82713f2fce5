/**
 * When to start a process again after it ended. Pure: the caller keeps the clock and does the waiting. A guard that is
 * down is a danger, so the first restart comes at once, later ones wait longer, and there is always another.
 */
export type RestartState = {
  readonly everReady: boolean;
  /** Ends in a row, none of them after a good run. */
  readonly endsInARow: number;
};

/** How a process ended: `exitCode` null means by a signal; 2 is the command line’s bad options. */
export type End = { readonly exitCode: number | null; readonly ranMs: number };

export type RestartDecision =
  | {
      readonly kind: 'restart';
      readonly afterMs: number;
      /** What must be repaired first, because a restart alone will not help. */
      readonly needsRepair?: string;
      readonly state: RestartState;
    }
  | { readonly kind: 'end-all'; readonly why: string };

const waitsMs = [0, 500, 1_000, 2_000, 5_000, 10_000, 30_000] as const;
/** Where the next start will most likely end in the same way: short enough for a person at the repair, long enough for a log. */
const repairWaitsMs = [1_000, 2_000, 5_000, 10_000, 30_000] as const;
/** A process that ran this long started well. */
const goodRunMs = 60_000;

export const freshRestartState: RestartState = { everReady: false, endsInARow: 0 };

/** A member that `endsAll` and cannot come up ends the whole; any other is started again for ever. */
export const afterEnd = (
  state: RestartState,
  { exitCode, ranMs }: End,
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
