import { RoomError } from '../../node/index.js';

/** A request that is refused: the status of the answer, a stable word for programs, a sentence for people. */
export class RefusedError extends RoomError {
  readonly statusCode: number;
  readonly code: string;
  readonly errorCategory = 'usage';

  constructor(statusCode: number, code: string, message: string) {
    super(message);
    this.statusCode = statusCode;
    this.code = code;
  }
}
