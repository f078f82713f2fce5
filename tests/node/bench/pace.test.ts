import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Emulation } from '../../../node/bench/board/emulation.js';
import { keepPace, type Pacing } from '../../../node/bench/board/pace.js';

const clockHz = 16e6;

/** Only what the pace looks at: a counter that overshoots by three cycles, as an instruction does. */
function counter() {
  const calls: number[] = [];
  const board = { cycles: 0 };
  const advanceCycles = (cycles: number) => {
    calls.push(cycles);
    board.cycles += cycles + 3;
  };
  return { emulation: { board, advanceCycles } as unknown as Emulation, board, calls };
}

describe('the pace of the emulated board', () => {
  let pacing: Pacing | undefined;
  beforeEach(() => {
    vi.useFakeTimers({
      toFake: ['setTimeout', 'clearTimeout', 'setImmediate', 'clearImmediate', 'performance'],
    });
  });
  afterEach(() => {
    pacing?.stop();
    vi.useRealTimers();
  });

  it('at speed 1 runs 16 million cycles in a second, in whole cycles, never none, never more than 5 ms at once', () => {
    const { emulation, board, calls } = counter();
    pacing = keepPace(emulation, 1);
    vi.advanceTimersByTime(1000);
    expect(Math.abs(board.cycles / clockHz - 1)).toBeLessThan(0.01);
    expect(
      calls.every((cycles) => Number.isInteger(cycles) && cycles >= 1 && cycles <= 0.005 * clockHz),
    ).toBe(true);
    expect(pacing.behindS).toBe(0);
  });

  it('at speed 3 runs three times as far; at 0 does not run; changed on the way it follows', () => {
    const { emulation, board } = counter();
    pacing = keepPace(emulation, 3);
    vi.advanceTimersByTime(1000);
    expect(Math.abs(board.cycles / clockHz - 3)).toBeLessThan(0.05);
    pacing.setSpeed(0);
    vi.advanceTimersByTime(10);
    const stood = board.cycles;
    vi.advanceTimersByTime(1000);
    expect(board.cycles).toBe(stood);
    pacing.setSpeed(1);
    vi.advanceTimersByTime(500);
    expect(Math.abs((board.cycles - stood) / clockHz - 0.5)).toBeLessThan(0.01);
  });

  it('a computer that slept 10 s is forgiven all but a quarter of a second, and that is counted', () => {
    const { emulation, board } = counter();
    pacing = keepPace(emulation, 1);
    vi.advanceTimersByTime(100);
    const before = board.cycles;
    const now = performance.now();
    vi.spyOn(performance, 'now').mockReturnValue(now + 10_000);
    vi.advanceTimersByTime(400);
    vi.restoreAllMocks();
    expect((board.cycles - before) / clockHz).toBeGreaterThan(0.2);
    expect((board.cycles - before) / clockHz).toBeLessThan(0.3);
    expect(pacing.behindS).toBeGreaterThan(9.5);
    expect(pacing.behindS).toBeLessThan(10);
  });

  it('stopped, it never runs again', () => {
    const { emulation, board } = counter();
    pacing = keepPace(emulation, 1);
    vi.advanceTimersByTime(100);
    pacing.stop();
    const stopped = board.cycles;
    vi.advanceTimersByTime(1000);
    expect(board.cycles).toBe(stopped);
  });
});
