export type BoardErrorCode =
  | 'bad-connection'
  | 'bad-pin'
  | 'no-port'
  | 'no-bootloader'
  | 'wrong-chip'
  | 'not-written';

/** Thrown for what the caller must fix. What cables and boards do by themselves is a status, not an error. */
export class BoardError extends Error {
  readonly code: BoardErrorCode;
  /** Whose turn it is: the caller's to ask otherwise, or the world's. */
  readonly errorCategory: 'asked-wrongly' | 'could-not';

  constructor(code: BoardErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'BoardError';
    this.code = code;
    this.errorCategory = code === 'bad-connection' || code === 'bad-pin' ? 'asked-wrongly' : 'could-not';
  }
}
