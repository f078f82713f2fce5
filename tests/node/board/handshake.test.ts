import { describe, expect, it } from 'vitest';
import { parseFrame } from '../../../node/board/frames.js';
import { Handshake } from '../../../node/board/handshake.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

/** Firmata protocol 2, restated. */
const ask = {
  version: [0xf9],
  firmware: [0xf0, 0x79, 0xf7],
  capabilities: [0xf0, 0x6b, 0xf7],
  mapping: [0xf0, 0x69, 0xf7],
};
const version = (minor: number) => [0xf9, 2, minor];
const firmware = (name: string) => [0xf0, 0x79, 2, 5, ...[...Buffer.from(name)].flatMap((b) => [b, 0]), 0xf7];
/** Two pins: the first takes output only, the second input, output and 10-bit analogue. */
const capabilities = [0xf0, 0x6c, 1, 1, 0x7f, 0, 1, 1, 1, 2, 10, 0x7f, 0xf7];
const mapping = [0xf0, 0x6a, 0x7f, 0, 0xf7];

function started({ quietly = false } = {}) {
  const asked: (readonly number[])[] = [];
  const handshake = new Handshake((bytes) => asked.push(bytes), asMonotonicMs(0), quietly);
  const take = (bytes: readonly number[], atMs: number) => {
    const frame = parseFrame(bytes);
    if (frame === undefined) throw new Error('the test sent no message');
    return handshake.take(frame, asMonotonicMs(atMs));
  };
  return { asked, take, tick: (atMs: number) => handshake.tick(asMonotonicMs(atMs)) };
}

describe('the handshake', () => {
  it('asks version, firmware, capabilities and mapping in that order, and then knows the board', () => {
    const { asked, take, tick } = started();
    tick(0);
    take(version(5), 10);
    take(firmware('StandardFirmata.ino'), 20);
    take(capabilities, 30);
    expect(take(mapping, 40)).toMatchObject({
      kind: 'known',
      firmware: { name: 'StandardFirmata.ino', protocol: { major: 2, minor: 5 } },
      pinMap: { channels: [0x7f, 0] },
    });
    expect(asked).toEqual([ask.version, ask.firmware, ask.capabilities, ask.mapping]);
  });

  it('asks again every 400 ms, because a bootloader swallows the first questions', () => {
    const { asked, tick } = started();
    for (let atMs = 0; atMs <= 1200; atMs += 50) tick(atMs);
    expect(asked).toEqual([ask.version, ask.version, ask.version, ask.version]);
  });

  it('begun quietly asks nothing for 4 s, because a byte would hold a Mega in its bootloader', () => {
    const { asked, tick } = started({ quietly: true });
    for (let atMs = 0; atMs < 4000; atMs += 50) tick(atMs);
    expect(asked).toEqual([]);
    tick(4000);
    expect(asked).toEqual([ask.version]);
  });

  it('begun quietly continues at once when the firmware introduces itself', () => {
    const { asked, take } = started({ quietly: true });
    take(version(3), 2500);
    expect(asked).toEqual([ask.firmware]);
  });

  it('an answer that comes twice is not asked for again', () => {
    const { asked, take, tick } = started();
    tick(0);
    take(version(5), 10);
    take(version(5), 11);
    expect(asked).toEqual([ask.version, ask.firmware]);
  });

  it.each([
    ['another sketch', version(5), firmware('Blink.ino'), 'Blink.ino'],
    ['a firmware too old', version(2), firmware('StandardFirmata'), '2.2'],
  ])('refuses %s by its name and says what to do', (_, first, second, named) => {
    const { take } = started();
    take(first, 10);
    const outcome = take(second, 20);
    expect(outcome).toMatchObject({ kind: 'refused', trouble: 'wrong-firmware' });
    expect(outcome).toMatchObject({ detail: expect.stringContaining(named) });
    expect(outcome).toMatchObject({ detail: expect.stringContaining('elbowroom flash') });
  });

  it('gives up after 8 s and says how far it came', () => {
    const silent = started();
    expect(silent.tick(8000)).toEqual({ kind: 'waiting' });
    expect(silent.tick(8001)).toMatchObject({ trouble: 'no-firmware', detail: /57,600/ });
    const half = started();
    half.take(version(5), 10);
    expect(half.tick(8001)).toMatchObject({ detail: /no firmware name/ });
  });
});
