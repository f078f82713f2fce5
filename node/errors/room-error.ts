/** Who can act on an error: the person who asked (a wrong option or file), or no one at once (a cable, a port, a disk). */
export type ErrorCategory = 'usage' | 'unavailable';

/**
 * Base of the errors that a room throws on purpose: a stable code, a message that says what, where, the value met and
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
