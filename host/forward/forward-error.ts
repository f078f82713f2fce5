import { RoomError } from '../../node/index.js';
/** The settings of the forwarder cannot be used; the message says where and what to do. */
export class ForwardError extends RoomError {
  readonly code = 'forward-settings';
  readonly errorCategory = 'usage';
}
