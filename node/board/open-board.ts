import { NodeError } from '../errors/node-error.js';
import type { Clock } from '../time/clock.js';
import type { BoardLink } from './board-link.js';
import { openerFor } from './connection.js';
import { LiveBoard } from './live-board.js';

/** Where `elbowroom bench` serves its emulated board by default: what `connection: bench` in a kit means. */
const benchBoard = 'tcp://127.0.0.1:8473';

/**
 * Returns at once; the board is opened, identified, watched and reopened behind it. `connection` is `auto`, `bench`, a
 * serial path, or tcp://host:port. Throws NodeError `address-wrong` where it cannot be understood.
 */
export function openBoard(connection: string, clock: Clock): BoardLink {
  try {
    return new LiveBoard(openerFor(connection === 'bench' ? benchBoard : connection), clock);
  } catch (cause) {
    throw new NodeError('address-wrong', (cause as Error).message, { cause });
  }
}
