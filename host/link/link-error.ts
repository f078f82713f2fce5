import { RoomError } from '../../node/index.js';

/** The address of a node cannot be used; the message says which and what one looks like. */
export class LinkError extends RoomError {
  readonly code = 'address-wrong';
  readonly errorCategory = 'usage';
}
