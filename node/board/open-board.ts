import type { Clock } from '../time/clock.js';
import type { BoardLink } from './board-link.js';
import { openerFor } from './connection.js';
import { LiveBoard } from './live-board.js';

export type BoardOptions = {
  /** `auto`, a serial path, or tcp://host:port. */
  readonly connection: string;
  readonly clock: Clock;
  /** Milliseconds between two counts of each analogue pin, 10 or more; by default what the serial line carries. */
  readonly samplingMs?: number;
};

/**
 * Returns at once; the board is opened, identified, watched and reopened behind it.
 * Throws BoardError `bad-connection` where the connection cannot be understood.
 */
export function openBoard(options: BoardOptions): BoardLink {
  return new LiveBoard(openerFor(options.connection), options.clock, options.samplingMs);
}
