import { openerFor } from './connection.js';
import { LiveBoard } from './live-board.js';
/**
 * Returns at once; the board is opened, identified, watched and reopened behind it.
 * Throws BoardError `bad-connection` where the connection cannot be understood.
 */
export function openBoard(options) {
    return new LiveBoard(openerFor(options.connection), options.clock, options.samplingMs);
}
//# sourceMappingURL=open-board.js.map