import type { Logger } from 'pino';
import type { BoardLink } from '../board/board-link.js';

/** A board takes a while to start, and a cable may be bumped; what lasts longer is logged, once each time. */
const reportTroubleAfterMs = 6_000;

/** Returns a function that stops it. */
export const logBoardStatus = (
  board: Pick<BoardLink, 'status' | 'onStatus'>,
  log: Pick<Logger, 'info' | 'warn'>,
): (() => void) => {
  let timer: NodeJS.Timeout | undefined;
  const expect = () => {
    timer ??= setTimeout(() => log.warn(board.status().detail), reportTroubleAfterMs);
  };
  expect();
  board.onStatus(({ state, detail }) => {
    log.info({ board: state }, detail);
    if (state !== 'connected') {
      expect();
      return;
    }
    clearTimeout(timer);
    timer = undefined;
  });
  return () => clearTimeout(timer);
};
