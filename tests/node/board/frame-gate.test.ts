import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Expected, type ExpectedRead, FrameGate, type Refusal } from '../../../node/board/frame-gate.js';
import type { Frame } from '../../../node/board/frames.js';

/** Firmata protocol 2, restated: start of a report of channel 0, of port 0, of a system message, and its end. */
const analog = (channel: number, counts: number) => [0xe0 | channel, counts & 0x7f, counts >> 7];
const digital = (port: number, levels: number) => [0x90 | port, levels & 0x7f, levels >> 7];
const sysex = (...body: number[]) => [0xf0, ...body, 0xf7];
const pairs = (...bytes: number[]) => bytes.flatMap((byte) => [byte & 0x7f, byte >> 7]);
const i2cReply = (...bytes: number[]) => sysex(0x77, ...pairs(...bytes));
const text = (words: string) => sysex(0x71, ...pairs(...Buffer.from(words)));

function gateWith(expected: Partial<{ read: ExpectedRead; measuring: boolean; pin: number }> = {}) {
  const admitted: Frame[] = [];
  const refused: Refusal[] = [];
  const whatMayCome: Expected = {
    isMeasuring: () => expected.measuring ?? true,
    analogChannels: () => [0, 1, 3],
    inputBits: (port) => (port === 0 ? 0x80 : 0),
    i2cRead: () => expected.read,
    pinState: () => expected.pin,
  };
  const gate = new FrameGate(
    whatMayCome,
    (frame) => admitted.push(frame),
    (why) => refused.push(why),
  );
  const take = (...bytes: number[]) => {
    gate.take(Uint8Array.from(bytes));
    return { admitted: admitted.splice(0), refused: refused.splice(0) };
  };
  const scan = (a = 100, b = 200, c = 300) => take(...analog(0, a), ...analog(1, b), ...analog(3, c));
  const settled = () => {
    for (let i = 0; i < 3; i++) scan();
    return { gate, take, scan };
  };
  return { gate, take, scan, settled };
}

describe('analogue reports', () => {
  it('pass as a whole scan, in the order of the channels', () => {
    const { admitted, refused } = gateWith().scan();
    expect(admitted.map((frame) => frame.kind === 'analog' && [frame.channel, frame.counts])).toEqual([
      [0, 100],
      [1, 200],
      [3, 300],
    ]);
    expect(refused).toEqual([]);
  });

  it('a damaged channel number drops the whole scan, and the next scan passes', () => {
    const { take, scan } = gateWith().settled();
    const broken = take(...analog(0, 1), ...analog(3, 2), ...analog(3, 3));
    expect(broken.admitted).toEqual([]);
    expect(broken.refused.length).toBeGreaterThan(0);
    expect(scan().admitted).toHaveLength(3);
  });

  it('1023 counts pass, 1024 never do, nor a channel that was not asked for', () => {
    const { take, scan } = gateWith().settled();
    expect(scan(1023, 0, 1023).admitted).toHaveLength(3);
    expect(take(...analog(0, 1024))).toEqual({ admitted: [], refused: ['impossible-value'] });
    expect(take(...analog(2, 5))).toEqual({ admitted: [], refused: ['unasked'] });
  });

  it('before the handshake they are ignored and no damage', () => {
    const { scan } = gateWith({ measuring: false });
    expect(scan()).toEqual({ admitted: [], refused: [] });
  });
});

describe('other messages', () => {
  it('levels of inputs pass, levels of a pin or a port that is no input do not', () => {
    const { take } = gateWith().settled();
    expect(take(...digital(0, 0x80)).admitted).toHaveLength(1);
    expect(take(...digital(0, 0x81)).refused).toEqual(['impossible-value']);
    expect(take(...digital(1, 0)).refused).toEqual(['unasked']);
  });

  it('an I2C answer passes only with the address, register and length that were asked for', () => {
    const read = { address: 0x60, register: 3, byteCount: 3, isVoid: false };
    const { take } = gateWith({ read }).settled();
    expect(take(...i2cReply(0x60, 3, 0, 0xff, 1)).admitted).toMatchObject([{ data: [0, 0xff, 1] }]);
    expect(take(...i2cReply(0x61, 3, 0, 1, 2)).refused).toEqual(['unasked']);
    expect(take(...i2cReply(0x60, 2, 0, 1, 2)).refused).toEqual(['unasked']);
    expect(take(...i2cReply(0x60, 3, 0, 1)).refused).toEqual(['malformed']);
  });

  it('after a complaint the stale answer may bear any address', () => {
    const read = { address: 0x60, register: 3, byteCount: 3, isVoid: true };
    expect(
      gateWith({ read })
        .settled()
        .take(...i2cReply(0, 0)).admitted,
    ).toHaveLength(1);
  });

  it('a text passes whole', () => {
    expect(gateWith().take(...text('I2C: Too few bytes received')).admitted).toMatchObject([
      { kind: 'text', text: 'I2C: Too few bytes received' },
    ]);
  });

  it('the state of a pin passes only when it was asked for', () => {
    const { take } = gateWith({ pin: 8 });
    expect(take(...sysex(0x6e, 8, 1, 1)).admitted).toMatchObject([{ pin: 8, mode: 1, state: 1 }]);
    expect(take(...sysex(0x6e, 9, 1, 1)).refused).toEqual(['unasked']);
  });
});

describe('bytes that are no message', () => {
  it('are named by what is wrong with them', () => {
    const { take } = gateWith().settled();
    expect(take(0x12).refused).toEqual(['stray-byte']);
    expect(take(0xc0).refused).toEqual(['unknown-message']);
    expect(take(0xe0, 0x01, ...digital(0, 0)).refused).toEqual(['cut-short']);
    expect(take(...sysex(0x71, 1)).refused).toEqual(['malformed']);
    expect(take(0xf0, ...Array(1300).fill(1)).refused[0]).toEqual('too-long');
  });

  it('whatever comes, in whatever pieces, nothing impossible passes and nothing throws', () => {
    const bytes = fc.array(fc.constantFrom(0xe0, 0xe1, 0xe3, 0xf0, 0xf7, 0x90, 0x77, 0, 1, 7, 8, 0x7f), {
      maxLength: 60,
    });
    const property = fc.property(fc.array(bytes, { maxLength: 8 }), (chunks) => {
      const { take } = gateWith().settled();
      const admitted = chunks.flatMap((chunk) => take(...chunk).admitted);
      return admitted.every(
        (frame) =>
          frame.kind !== 'i2c-reply' &&
          (frame.kind !== 'analog' || (frame.counts <= 1023 && [0, 1, 3].includes(frame.channel))),
      );
    });
    fc.assert(property, { numRuns: 300 });
  });
});
