import { describe, expect, it } from 'vitest';
import { Ads1115, gainFor } from '../../../node/chips/ads1115.js';
import { ScriptedBus } from './scripted-bus.js';

/** Texas Instruments SBAS444D, January 2018, restated: the register map, the bits of the config register and the full-scale ranges. */
const config = [0x01, 2] as const;
const conversion = [0x00, 2] as const;
const ready = 0x80;

const noWait = async () => {};
/** Single conversion of input 1 against ground at the given gain bits, 128 a second, comparator off. */
const start = (gain: number) => [0xd0 | (gain << 1) | 0x01, 0x83] as const;
const converted = (gain: number, high: number, low: number) => {
  const [first, second] = start(gain);
  return [
    { write: [0x01, first, second] },
    { read: config, gives: [first | ready, second] },
    { read: conversion, gives: [high, low] },
    { read: conversion, gives: [high, low] },
  ];
};

describe('an ADS1115 on a scripted bus', () => {
  it('starts a conversion, waits until it is ready, and gives volts', async () => {
    const [first, second] = start(0);
    const bus = new ScriptedBus(0x48, [
      { write: [0x01, first, second] },
      { read: config, gives: [first & ~ready, second] },
      { read: config, gives: [first | ready, second] },
      { read: conversion, gives: [0x34, 0x15] },
      { read: conversion, gives: [0x34, 0x15] },
    ]);
    const answer = await new Ads1115(bus, 0x48, noWait).read('1');
    bus.done();
    expect(answer).toMatchObject({ kind: 'sample', atLimit: false });
    // 0x3415 = 13333 codes of 187.5 microvolts.
    if (answer.kind === 'sample') expect(answer.volts).toBeCloseTo(2.4999375, 9);
  });

  it('whose bus throws once gives a fault for that input, and is asked again for the next', async () => {
    const working = new ScriptedBus(0x48, converted(0, 0x34, 0x15));
    let broken = true;
    const bus = {
      read: (address: number, register: number, count: number) => working.read(address, register, count),
      write: (address: number, bytes: readonly number[]) => {
        if (!broken) return working.write(address, bytes);
        throw new Error('the port is gone');
      },
    };
    const chip = new Ads1115(bus, 0x48, noWait);
    expect(await chip.read('1')).toMatchObject({ kind: 'fault', fault: 'no-answer' });
    broken = false;
    expect(await chip.read('1')).toMatchObject({ kind: 'sample' });
    working.done();
  });

  it('takes the narrow range for a small signal and the widest again when that overflows', async () => {
    const bus = new ScriptedBus(0x48, [
      ...converted(0, 0x00, 0x40),
      ...converted(5, 0x7f, 0xff),
      ...converted(0, 0x10, 0x00),
      ...converted(3, 0x60, 0x00),
    ]);
    const chip = new Ads1115(bus, 0x48, noWait);
    expect(await chip.read('1')).toMatchObject({ volts: 0.012 });
    expect(await chip.read('1')).toMatchObject({ volts: 0.768, atLimit: false });
    expect(await chip.read('1')).toMatchObject({ volts: 0.768 });
    bus.done();
  });

  it('gives each range its share: 0.2 V to 0.256 V full scale, 0.21 V one up, 5 V the widest', () => {
    expect([0, 0.2, 0.21, -0.4, -0.42, 0.81, 1.63, 3.2, 3.3, 5].map(gainFor)).toEqual([
      5, 5, 4, 4, 3, 3, 2, 1, 0, 0,
    ]);
  });

  it('measures one input at a time, in the order they were asked for', async () => {
    const bus = new ScriptedBus(0x48, [...converted(0, 0x10, 0x00), ...converted(3, 0x10, 0x00)]);
    const chip = new Ads1115(bus, 0x48, noWait);
    const [a, b] = await Promise.all([chip.read('1'), chip.read('1')]);
    bus.done();
    expect([a, b]).toMatchObject([{ volts: 0.768 }, { volts: 0.128 }]);
  });

  it('names a chip that is absent, one that is another, one that never finishes, one that contradicts itself', async () => {
    const [first, second] = start(0);
    const begin = { write: [0x01, first, second] };
    const busy = { read: config, gives: [first & ~ready, second] };
    const isReady = { read: config, gives: [first | ready, second] };
    const cases = [
      ['no-answer', [begin, { read: config, gives: 'nothing' as const }]],
      ['wrong-chip', [begin, { read: config, gives: [0xff, 0xff] }]],
      ['not-settled', [begin, busy, busy, busy, busy, busy]],
      [
        'not-settled',
        [begin, isReady, { read: conversion, gives: [1, 2] }, { read: conversion, gives: [1, 3] }],
      ],
    ] as const;
    for (const [fault, steps] of cases) {
      const bus = new ScriptedBus(0x48, steps);
      expect(await new Ads1115(bus, 0x48, noWait).read('1')).toMatchObject({ kind: 'fault', fault });
      bus.done();
    }
  });
});
