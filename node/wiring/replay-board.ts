import type { BoardLink } from '../board/board-link.js';
import type { BoardCounters, BoardStatus } from '../board/status.js';
import type { Clock } from '../time/clock.js';

/** Of a board that has connected and lost nothing. */
export const cleanCounters: BoardCounters = {
  connects: 1,
  resets: 0,
  refused: 0,
  refusedBy: {},
  i2cUnanswered: 0,
  pinsRepaired: 0,
};

/** Replaces a board while a recording is replayed: it has no inputs and moves no pin. */
export const replayBoard = (clock: Clock): BoardLink => {
  const status: BoardStatus = {
    state: 'connected',
    detail: 'A recording is replayed; no board is connected.',
    sinceMs: clock.monotonicMs(),
  };
  return {
    analogInput: () => ({ fullScaleCounts: 1023, onCounts: () => {} }),
    digitalInput: () => ({ onLevel: () => {} }),
    digitalOutput: () => ({ write: () => {} }),
    i2c: {
      read: async () => ({ kind: 'no-answer', why: 'board-away' }),
      write: async () => {},
    },
    status: () => status,
    onStatus: () => {},
    counters: () => cleanCounters,
    unconfirmedMs: () => 0,
    close: async () => {},
  };
};
