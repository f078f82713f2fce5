import { once } from 'node:events';
import { PassThrough } from 'node:stream';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { encodeFrame, longestFrame } from '../../../node/link/frame.js';
import { receiveFrames } from '../../../node/link/receive-frames.js';

const receiver = () => {
  const wire = new PassThrough();
  const frames: unknown[] = [];
  const damaged: string[] = [];
  receiveFrames(wire, { onFrame: (f) => frames.push(f), onDamaged: (why) => damaged.push(why) });
  /** Until the reader has taken everything, which it does between two turns of the event loop. */
  const settled = async () => {
    wire.end();
    await once(wire, 'end');
  };
  return { wire, frames, damaged, settled };
};

test('frames arrive whole however the bytes were cut', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.jsonValue(), { minLength: 1, maxLength: 5 }),
      fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1 }),
      async (values, cuts) => {
        const { wire, frames, damaged, settled } = receiver();
        const bytes = Buffer.from(values.map((v) => encodeFrame(v)).join(''));
        for (let from = 0, i = 0; from < bytes.length; i++) {
          const length = cuts[i % cuts.length] as number;
          wire.write(bytes.subarray(from, from + length));
          from += length;
        }
        await settled();
        expect(JSON.stringify(frames)).toBe(JSON.stringify(values));
        expect(damaged).toEqual([]);
      },
    ),
    { numRuns: 30 },
  );
});

test('a damaged frame is reported and the next one still arrives', async () => {
  const { wire, frames, damaged, settled } = receiver();
  wire.write(`${encodeFrame(1)}${encodeFrame({ a: 1 }).replace('a', 'b')}${encodeFrame(3)}`);
  await settled();
  expect(frames).toEqual([1, 3]);
  expect(damaged).toEqual(['checksum-differs']);
});

test('a sender that never ends its line is dropped up to the next line feed', async () => {
  const { wire, frames, settled } = receiver();
  for (let sent = 0; sent <= longestFrame + 8192; sent += 8192) wire.write('x'.repeat(8192));
  wire.write(`yyy\n${encodeFrame('after')}`);
  await settled();
  expect(frames).toEqual(['after']);
});

test('a side that expects short lines waits for no more bytes than its limit', async () => {
  const wire = new PassThrough();
  const frames: unknown[] = [];
  receiveFrames(wire, { onFrame: (f) => frames.push(f), onDamaged: () => {}, longest: 1_000 });
  wire.write(`${'x'.repeat(1_001)}`);
  wire.write(`${encodeFrame('its end')}${encodeFrame('after')}`);
  wire.end();
  await once(wire, 'end');
  expect(frames).toEqual(['after']);
});
