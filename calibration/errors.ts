/**
 * Who can correct an error: `usage` is for the person who asked (a wrong option or file), `unavailable` for the world
 * (a cable, a port, a disk). The other two end commands: done and the answer is bad, and stopped by a person.
 */
export type ErrorCategory = 'usage' | 'unavailable' | 'bad-answer' | 'interrupted';

/**
 * Base of the errors that every room throws on purpose: a stable code, a message that says what, where, the value met and
 * what to do next, and the original as `cause`. Any other error is a fault of the program.
 */
export abstract class RoomError extends Error {
  abstract readonly code: string;
  abstract readonly errorCategory: ErrorCategory;

  constructor(message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = new.target.name;
  }
}

/** Every way a thermometry function can refuse. The code is stable; the message says what, where and what to do. */
export type RefusalCode =
  | 'not-a-number'
  | 'below-range'
  | 'above-range'
  | 'ambiguous'
  | 'at-rail'
  | 'not-physical'
  | 'too-few-points'
  | 'no-spread'
  | 'no-convergence'
  | 'bad-certificate'
  | 'newer-version'
  | 'edited-certificate'
  | 'not-settled';

/** Thrown for input that has no true answer; never a guess, never NaN. */
export class ThermometryError extends RoomError {
  readonly code: RefusalCode;
  readonly errorCategory = 'usage';

  constructor(code: RefusalCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }
}

/** Passes a finite number through; names the field otherwise. */
export function finite(value: number, field: string): number {
  if (Number.isFinite(value)) return value;
  throw new ThermometryError('not-a-number', `${field} is not a number (${value}). Give a finite number.`);
}
