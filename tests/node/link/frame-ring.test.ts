import { describe, expect, test } from 'vitest';
import { FrameRing } from '../../../node/link/frame-ring.js';

/** Frames of exactly ten bytes. */
const tenBytes = (seq: number) => String(seq).padStart(10, '0');
const filled = (frames: number, mostBytes = 50) => {
  const ring = new FrameRing(mostBytes);
  for (let i = 0; i < frames; i++) ring.push(tenBytes);
  return ring;
};

describe('the ring', () => {
  test('numbers from 1 and gives back what it was given', () => {
    const ring = filled(3);
    expect([ring.oldestSeq, ring.nextSeq, ring.firstUnstoredSeq]).toEqual([1, 4, 1]);
    expect(ring.at(2)?.toString()).toBe('0000000002');
    expect(ring.at(4)).toBeUndefined();
  });

  test('of 50 bytes holds five frames of ten; the sixth pushes out the first, which is lost', () => {
    expect(filled(5).lost).toBe(0);
    const ring = filled(6);
    expect([ring.lost, ring.oldestSeq, ring.nextSeq]).toEqual([1, 2, 7]);
    expect(ring.at(1)).toBeUndefined();
  });

  test('does not count as lost what a listener had stored', () => {
    const ring = filled(5);
    ring.markStored(3);
    for (let i = 0; i < 5; i++) ring.push(tenBytes);
    expect([ring.oldestSeq, ring.lost, ring.firstUnstoredSeq]).toEqual([6, 2, 6]);
  });

  test('keeps stored frames for a second listener in a quarter of the room; what waits has all of it', () => {
    const ring = filled(5, 120);
    ring.markStored(4);
    expect([ring.firstUnstoredSeq, ring.oldestSeq]).toEqual([5, 1]);
    ring.push(tenBytes);
    // Frames 5 and 6 wait; with the stored frame 4 they fill the quarter.
    expect([ring.oldestSeq, ring.lost]).toEqual([4, 0]);
    expect(ring.at(4)?.toString()).toBe('0000000004');
    for (let i = 0; i < 4; i++) ring.push(tenBytes);
    expect([ring.oldestSeq, ring.firstUnstoredSeq, ring.lost]).toEqual([5, 5, 0]);
  });

  test('holds no memory but that of its frames', () => {
    expect(filled(1).at(1)?.buffer.byteLength).toBe(10);
  });

  test('does not believe that a frame was stored which it has not sent', () => {
    const ring = filled(2);
    ring.markStored(900);
    expect(ring.firstUnstoredSeq).toBe(1);
  });

  test('keeps the newest frame even when that alone is too large', () => {
    const ring = new FrameRing(5);
    ring.push(tenBytes);
    expect(ring.at(1)?.length).toBe(10);
  });
});
