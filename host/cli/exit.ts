import type { RoomError } from '../../node/index.js';

/** Exit codes of every command: 0 done and good; the others below; 130 interrupted (set by the shell). */
export const exitCodes = { answerIsBad: 1, usage: 2, unavailable: 3 } as const;

/** How a command ends that did not do what it was asked. The message says what, where, the value met and what to do next. */
export abstract class CommandError extends Error {
  abstract readonly exitCode: number;
}

/** Done, and the answer is bad: a verification failed, an alert is active. */
export class BadAnswerError extends CommandError {
  readonly exitCode = exitCodes.answerIsBad;
}

/** The caller must change what was asked: a bad option, a file that does not fit its schema. */
export class UsageError extends CommandError {
  readonly exitCode = exitCodes.usage;
}

/** Asked well, and the world did not allow it: no board, a port in use, a full disk. */
export class UnavailableError extends CommandError {
  readonly exitCode = exitCodes.unavailable;
}

/** A person stopped it, as Ctrl-C does. */
export class InterruptedError extends CommandError {
  readonly exitCode = 130;
}

/**
 * The exit code of an error that was written for a person: a `CommandError`, or a `RoomError`, whose class is not imported
 * because a command line that only prints help need not load the node. Undefined for a fault of the program.
 */
export const exitCodeOf = (error: unknown): number | undefined => {
  if (error instanceof CommandError) return error.exitCode;
  if (!(error instanceof Error) || !('errorCategory' in error)) return undefined;
  const { errorCategory } = error as RoomError;
  return errorCategory === 'usage' ? exitCodes.usage : exitCodes.unavailable;
};
