import { type ErrorCategory, RoomError } from '../../calibration/index.js';

export type BoardErrorCode =
  | 'bad-connection'
  | 'bad-pin'
  | 'no-port'
  | 'no-bootloader'
  | 'wrong-chip'
  | 'not-written';

/** Thrown for what the caller must correct. A lost cable or board is a status, not an error. */
export class BoardError extends RoomError {
  readonly code: BoardErrorCode;

  constructor(code: BoardErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }

  get errorCategory(): ErrorCategory {
    return this.code === 'bad-connection' || this.code === 'bad-pin' ? 'usage' : 'unavailable';
  }
}
