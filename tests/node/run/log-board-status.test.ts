import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { BoardStatus } from '../../../node/board/status.js';
import { logBoardStatus } from '../../../node/run/log-board-status.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const rig = () => {
  const told: string[] = [];
  let status: BoardStatus = { state: 'connecting', detail: 'Opening auto.', sinceMs: asMonotonicMs(0) };
  let listener: (status: BoardStatus) => void = () => {};
  const stop = logBoardStatus(
    {
      status: () => status,
      onStatus: (heard) => {
        listener = heard;
      },
    },
    { info: () => {}, warn: (words: string) => told.push(words) } as never,
  );
  const becomes = (state: BoardStatus['state'], detail: string) => {
    status = { ...status, state, detail };
    listener(status);
  };
  return { told, becomes, stop };
};

test('a board that has not come after 6 s is told once, with what stands in the way by then', () => {
  const { told, becomes } = rig();
  becomes('connecting', 'No Arduino-class board is plugged in.');
  vi.advanceTimersByTime(5_999);
  expect(told).toEqual([]);
  vi.advanceTimersByTime(60_000);
  becomes('connecting', 'No Arduino-class board is plugged in.');
  vi.advanceTimersByTime(60_000);
  expect(told).toEqual(['No Arduino-class board is plugged in.']);
});

test('a board that comes within 6 s is not told of, and one that is lost later is, each time', () => {
  const { told, becomes } = rig();
  vi.advanceTimersByTime(3_000);
  becomes('connected', 'StandardFirmata 2.5.');
  vi.advanceTimersByTime(60_000);
  for (const detail of ['the cable was pulled out', 'the cable was pulled out again']) {
    becomes('lost', detail);
    vi.advanceTimersByTime(7_000);
    becomes('connected', 'StandardFirmata 2.5.');
  }
  expect(told).toEqual(['the cable was pulled out', 'the cable was pulled out again']);
});

test('once stopped it tells nothing', () => {
  const { told, stop } = rig();
  stop();
  vi.advanceTimersByTime(60_000);
  expect(told).toEqual([]);
});
