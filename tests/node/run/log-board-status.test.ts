import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { BoardStatus } from '../../../node/board/status.js';
import { logBoardStatus } from '../../../node/run/log-board-status.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const rig = () => {
  const shown: string[] = [];
  let status: BoardStatus = { state: 'connecting', detail: 'Opening auto.', sinceMs: asMonotonicMs(0) };
  let listener: (status: BoardStatus) => void = () => {};
  const stop = logBoardStatus(
    {
      status: () => status,
      onStatus: (listenerOf) => {
        listener = listenerOf;
      },
    },
    { info: () => {}, warn: (words: string) => shown.push(words) } as never,
  );
  const becomes = (state: BoardStatus['state'], detail: string) => {
    status = { ...status, state, detail };
    listener(status);
  };
  return { shown, becomes, stop };
};

test('a board that has not come after 6 s is reported once, with the reason known by then', () => {
  const { shown, becomes } = rig();
  becomes('connecting', 'No Arduino-class board is plugged in.');
  vi.advanceTimersByTime(5_999);
  expect(shown).toEqual([]);
  vi.advanceTimersByTime(60_000);
  becomes('connecting', 'No Arduino-class board is plugged in.');
  vi.advanceTimersByTime(60_000);
  expect(shown).toEqual(['No Arduino-class board is plugged in.']);
});

test('a board that comes within 6 s is not reported, and one that is lost later is, each time', () => {
  const { shown, becomes } = rig();
  vi.advanceTimersByTime(3_000);
  becomes('connected', 'StandardFirmata 2.5.');
  vi.advanceTimersByTime(60_000);
  for (const detail of ['the cable was pulled out', 'the cable was pulled out again']) {
    becomes('lost', detail);
    vi.advanceTimersByTime(7_000);
    becomes('connected', 'StandardFirmata 2.5.');
  }
  expect(shown).toEqual(['the cable was pulled out', 'the cable was pulled out again']);
});

test('once stopped it logs nothing', () => {
  const { shown, stop } = rig();
  stop();
  vi.advanceTimersByTime(60_000);
  expect(shown).toEqual([]);
});
