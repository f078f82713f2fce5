import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { I2cQueue, i2cTiming } from '../../../node/board/i2c-queue.js';
import type { I2cAnswer } from '../../../node/bus/i2c-bus.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';

type Pending = { readonly address: number; readonly reply: (bytes: number[]) => void };

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

function connectedQueue() {
  const onTheWire: Pending[] = [];
  const written: (readonly number[])[] = [];
  const marks: number[] = [];
  const clock = { monotonicMs: () => asMonotonicMs(Date.now()), wallMs: () => asWallMs(0) };
  const queue = new I2cQueue(
    {
      startRead: (address, _register, _count, reply) => {
        onTheWire.push({ address, reply });
        return { stop: () => {} };
      },
      write: (_address, bytes) => written.push(bytes),
      echo: (mark) => marks.push(mark),
    },
    clock,
  );
  queue.setConnected(true);
  const answered = async (reading: Promise<I2cAnswer>, ms = 0) => {
    await vi.advanceTimersByTimeAsync(ms);
    return reading;
  };
  return { queue, onTheWire, written, marks, answered };
}

describe('the I2C queue', () => {
  it('has one request in flight; the next starts when the first is answered', async () => {
    const { queue, onTheWire, answered } = connectedQueue();
    const first = queue.read(0x60, 0, 1);
    const second = queue.read(0x61, 0, 1);
    expect(onTheWire.map(({ address }) => address)).toEqual([0x60]);
    onTheWire[0]?.reply([7]);
    expect(await answered(first)).toEqual({ kind: 'bytes', bytes: [7] });
    expect(onTheWire.map(({ address }) => address)).toEqual([0x60, 0x61]);
    onTheWire[1]?.reply([8]);
    expect(await answered(second)).toEqual({ kind: 'bytes', bytes: [8] });
  });

  it('survives a request that throws: it costs itself, and the next is answered', async () => {
    let failing = true;
    const onTheWire: Pending[] = [];
    const clock = { monotonicMs: () => asMonotonicMs(Date.now()), wallMs: () => asWallMs(0) };
    const queue = new I2cQueue(
      {
        startRead: (address, _register, _count, reply) => {
          if (failing) throw new Error('the port is gone');
          onTheWire.push({ address, reply });
          return { stop: () => {} };
        },
        write: () => {
          throw new Error('the port is gone');
        },
        echo: () => {},
      },
      clock,
    );
    queue.setConnected(true);
    const failed = queue.read(0x60, 0, 1);
    const written = queue.write(0x60, [1]);
    await vi.advanceTimersByTimeAsync(10);
    expect(await failed).toEqual({ kind: 'no-answer', why: 'garbled', detail: 'the port is gone' });
    await written;
    failing = false;
    const next = queue.read(0x61, 0, 1);
    await vi.advanceTimersByTimeAsync(10);
    onTheWire[0]?.reply([7]);
    expect(await next).toEqual({ kind: 'bytes', bytes: [7] });
    expect(vi.getTimerCount()).toBe(0);
  });

  it('does not believe what follows a complaint of the firmware, asks once more, and continues at once', async () => {
    const { queue, onTheWire, answered } = connectedQueue();
    const read = queue.read(0x60, 0, 1);
    for (const attempt of [0, 1]) {
      queue.firmwareComplained('I2C: Too few bytes received');
      onTheWire[attempt]?.reply([7]);
      await vi.advanceTimersByTimeAsync(0);
    }
    expect(await answered(read)).toEqual({
      kind: 'no-answer',
      why: 'not-acknowledged',
      detail: 'I2C: Too few bytes received',
    });
    expect(queue.unanswered).toBe(1);
  });

  it('does not believe an answer when something was damaged meanwhile (it may have been the complaint), and asks again', async () => {
    const { queue, onTheWire, answered } = connectedQueue();
    const read = queue.read(0x60, 0, 1);
    queue.linkDamaged();
    onTheWire[0]?.reply([7]);
    await vi.advanceTimersByTimeAsync(0);
    onTheWire[1]?.reply([8]);
    expect(await answered(read)).toEqual({ kind: 'bytes', bytes: [8] });
  });

  it('knows an answer for lost as soon as the firmware has come past the request', async () => {
    const { queue, onTheWire, marks, answered } = connectedQueue();
    const read = queue.read(0x60, 0, 1);
    queue.echoCame((marks[0] ?? 0) + 1);
    expect(onTheWire).toHaveLength(1);
    queue.echoCame(marks[0] ?? 0);
    await vi.advanceTimersByTimeAsync(0);
    expect(onTheWire).toHaveLength(2);
    onTheWire[1]?.reply([8]);
    expect(await answered(read)).toEqual({ kind: 'bytes', bytes: [8] });
  });

  /** Both attempts of a request without an answer. */
  const inVainMs = 2 * (i2cTiming.answerWithinMs + i2cTiming.quietAfterTimeoutMs);

  it('gives up after its time, twice, leaves that device alone, and serves the others', async () => {
    const { queue, onTheWire, answered } = connectedQueue();
    const dead = queue.read(0x60, 0, 1);
    expect(await answered(dead, inVainMs)).toMatchObject({ why: 'timeout' });
    expect(await answered(queue.read(0x60, 0, 1))).toMatchObject({ detail: /left alone/ });
    void queue.read(0x61, 0, 1);
    expect(onTheWire.map(({ address }) => address)).toEqual([0x60, 0x60, 0x61]);
  });

  it('tries the silent device again after 1 s, then after 2 s', async () => {
    const { queue, onTheWire } = connectedQueue();
    const attemptsAfter = async (ms: number) => {
      await vi.advanceTimersByTimeAsync(ms);
      void queue.read(0x60, 0, 1);
      await vi.advanceTimersByTimeAsync(0);
      return onTheWire.length;
    };
    expect(await attemptsAfter(0)).toBe(1);
    expect(await attemptsAfter(inVainMs + 990)).toBe(2);
    expect(await attemptsAfter(20)).toBe(3);
    expect(await attemptsAfter(inVainMs + 1980)).toBe(4);
    expect(await attemptsAfter(20)).toBe(5);
  });

  it('answers everything at once when the board disconnects, and refuses until it is back', async () => {
    const { queue, answered } = connectedQueue();
    const waiting = [queue.read(0x60, 0, 1), queue.read(0x61, 0, 1)];
    queue.setConnected(false);
    for (const read of [...waiting, queue.read(0x60, 0, 1)])
      expect(await answered(read)).toEqual({ kind: 'no-answer', why: 'board-away' });
    expect(queue.unanswered).toBe(3);
  });

  it('holds 64 waiting requests and refuses the next', async () => {
    const { queue, answered } = connectedQueue();
    for (let i = 0; i < 65; i++) void queue.read(0x60, 0, 1);
    expect(await answered(queue.read(0x60, 0, 1))).toMatchObject({ detail: /64 requests/ });
  });

  it('gives a write its time on the bus before the next request', async () => {
    const { queue, onTheWire, written } = connectedQueue();
    void queue.write(0x60, [4, 0]);
    void queue.read(0x60, 0, 1);
    expect(written).toEqual([[4, 0]]);
    expect(onTheWire).toHaveLength(0);
    await vi.advanceTimersByTimeAsync(i2cTiming.afterWriteMs);
    expect(onTheWire).toHaveLength(1);
  });
});
