export type BoardErrorCode = 'bad-connection' | 'bad-pin';

/** Thrown for what the caller must fix. What cables and boards do by themselves is a status, not an error. */
export class BoardError extends Error {
  readonly code: BoardErrorCode;

  constructor(code: BoardErrorCode, message: string) {
    super(message);
    this.name = 'BoardError';
    this.code = code;
  }
}
