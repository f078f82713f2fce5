import { type ErrorCategory, RoomError } from '../../calibration/errors.js';

/** Exit codes of every command: 0 done and good, or by what ended it. */
export const exitCodes = {
  'bad-answer': 1,
  usage: 2,
  unavailable: 3,
  /** As the shell has it for Ctrl-C. */
  interrupted: 130,
} as const satisfies Record<ErrorCategory, number>;

/** Done, and the answer is bad: a verification failed, an alert is active. */
export class BadAnswerError extends RoomError {
  readonly code = 'bad-answer';
  readonly errorCategory = 'bad-answer';
}

/** The caller must change what was asked: a bad option, a file that does not fit its schema. */
export class UsageError extends RoomError {
  readonly code = 'usage';
  readonly errorCategory = 'usage';
}

/** The options are right and something else is missing: no board, a port in use, a full disk. */
export class UnavailableError extends RoomError {
  readonly code = 'unavailable';
  readonly errorCategory = 'unavailable';
}

/** A person stopped it, as Ctrl-C does. */
export class InterruptedError extends RoomError {
  readonly code = 'interrupted';
  readonly errorCategory = 'interrupted';
}

/** The exit code of an error that was written for a person. Undefined for a fault of the program. */
export const exitCodeOf = (error: unknown): number | undefined =>
  error instanceof RoomError ? exitCodes[error.errorCategory] : undefined;
