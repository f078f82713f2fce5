import type { Readable } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';
import { type DecodedFrame, decodeFrame, longestFrame } from './frame.js';

export type FrameListener = {
  /** The longest line that is waited for, bytes. */
  readonly longest?: number;
  readonly onFrame: (value: unknown) => void;
  readonly onDamaged: (why: Exclude<DecodedFrame, { ok: true }>['why']) => void;
};

/**
 * Hands over every whole frame that arrives on a stream, and says when one was damaged. A sender that never
 * ends its line cannot fill the memory: past `longest` the bytes are dropped up to the next line feed.
 */
export const receiveFrames = (
  stream: Readable,
  { onFrame, onDamaged, longest = longestFrame }: FrameListener,
): void => {
  const lines = new ReadlineParser();
  let unended = 0;
  let dropping = false;

  stream.on('data', (chunk: Buffer) => {
    const lastFeed = chunk.lastIndexOf(0x0a);
    let wanted = chunk;
    if (dropping) {
      const firstFeed = chunk.indexOf(0x0a);
      if (firstFeed === -1) return;
      dropping = false;
      wanted = chunk.subarray(firstFeed);
    }
    unended = lastFeed === -1 ? unended + wanted.length : chunk.length - lastFeed - 1;
    if (unended > longest) {
      unended = 0;
      dropping = true;
      wanted = wanted.subarray(0, 0);
    }
    lines.write(wanted);
  });
  // A stream that ends in the middle of a frame leaves nothing to report: the sender repeats what was not stored.

  lines.on('data', (line: string) => {
    if (line === '') return;
    const frame = decodeFrame(line);
    if (frame.ok) onFrame(frame.value);
    else onDamaged(frame.why);
  });
};
