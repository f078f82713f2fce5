/** Exit codes of every command: 0 done and good; the others below; 130 interrupted (set by the shell). */
export const exitCodes = { answerIsBad: 1, askedWrongly: 2, couldNot: 3 } as const;

/** A way for a command to end other than well. The message says what, where, the value met and what to do next. */
export abstract class Ending extends Error {
  abstract readonly exitCode: number;
}

/** Done, and the answer is bad: a verification failed, an alert is active. */
export class AnswerIsBad extends Ending {
  readonly exitCode = exitCodes.answerIsBad;
}

/** The caller must change what was asked: a bad option, a file that does not fit its schema. */
export class UsageError extends Ending {
  readonly exitCode = exitCodes.askedWrongly;
}

/** Asked well, and the world did not allow it: no board, a port in use, a full disk. */
export class UnavailableError extends Ending {
  readonly exitCode = exitCodes.couldNot;
}

/** A person stopped it, as Ctrl-C does. */
export class Interrupted extends Ending {
  readonly exitCode = 130;
}

/**
 * The exit code of an error that was written for a person: an `Ending`, or a room's own error that says whose turn
 * it is. Undefined for anything else, which is a fault of ours and deserves its stack.
 */
export const exitCodeOf = (error: unknown): number | undefined => {
  if (error instanceof Ending) return error.exitCode;
  if (!(error instanceof Error) || !('errorCategory' in error)) return undefined;
  return error.errorCategory === 'asked-wrongly' ? exitCodes.askedWrongly : exitCodes.couldNot;
};
