import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decodeFrame, encodeFrame, longestFrame } from '../../../node/link/frame.js';

describe('a frame', () => {
  test('bears the CRC-32 check value cbf43926 of "123456789" (the catalogue value of CRC-32/ISO-HDLC)', () => {
    // The JSON text of the number 123456789 is exactly the nine check characters.
    expect(encodeFrame(123456789)).toBe('cbf43926 123456789\n');
  });

  test('comes back as it was, whatever JSON it holds, and never holds a line feed inside', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const line = encodeFrame(value);
        if (line.indexOf('\n') !== line.length - 1) return false;
        const decoded = decodeFrame(line.slice(0, -1));
        return decoded.ok && JSON.stringify(decoded.value) === JSON.stringify(value);
      }),
    );
  });

  test('with any one byte changed is refused: CRC-32 finds every burst of up to 32 bits', () => {
    const line = encodeFrame({ type: 'stored', boot: 'b1', seq: 12 }).slice(0, -1);
    let believed = 0;
    let tried = 0;
    for (let place = 0; place < line.length; place++)
      for (let flip = 1; flip < 128; flip++) {
        const damaged =
          line.slice(0, place) + String.fromCharCode(line.charCodeAt(place) ^ flip) + line.slice(place + 1);
        tried++;
        if (decodeFrame(damaged).ok) believed++;
      }
    expect({ believed, tried }).toEqual({ believed: 0, tried: line.length * 127 });
  });

  test.each([
    ['', 'no-checksum'],
    ['hello', 'no-checksum'],
    ['CBF43926 123456789', 'no-checksum'],
    ['00000000 123456789', 'checksum-differs'],
    ['352441c2 abc', 'not-json'], // CRC-32 of "abc", as zlib gives it
    [`cbf43926 ${'1'.repeat(longestFrame)}`, 'too-long'],
  ] as const)('%.30s is refused as %s', (line, why) => {
    expect(decodeFrame(line)).toEqual({ ok: false, why });
  });
});
