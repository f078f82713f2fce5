import { describe, expect, it } from 'vitest';
import { Mcp960x } from '../../../node/chips/mcp960x.js';
import { ScriptedBus } from './scripted-bus.js';

/** Microchip DS20005426G, restated: pointers and lengths of the registers. */
const id = [0x20, 2] as const;
const status = [0x04, 1] as const;
const sensor = [0x05, 1] as const;
const device = [0x06, 1] as const;
const emf = [0x03, 3] as const;
const cold = [0x02, 2] as const;
const hot = [0x00, 2] as const;

const is9601 = { read: id, gives: [0x41, 0x10] };
/** The settings are as wanted: type K without filter, 18 bits, continuous. */
const settingsKept = [
  { read: sensor, gives: [0x00] },
  { read: device, gives: [0x00] },
];
const e = (...gives: number[]) => ({ read: emf, gives });
const c = (...gives: number[]) => ({ read: cold, gives });
const h = (...gives: number[]) => ({ read: hot, gives });
const s = (gives: number) => ({ read: status, gives: [gives] });

const readWith = async (steps: ConstructorParameters<typeof ScriptedBus>[1], times = 1) => {
  const bus = new ScriptedBus(0x67, steps);
  const chip = new Mcp960x(bus, 0x67, 'K');
  let answer = await chip.read();
  for (let i = 1; i < times; i++) answer = await chip.read();
  bus.done();
  return answer;
};

describe('an MCP960x on a scripted bus', () => {
  it('gives voltage and cold junction as one pair, and clears the finished flag', async () => {
    const steps = [
      is9601,
      ...settingsKept,
      s(0x40),
      e(0x00, 0x01, 0xf4),
      c(0x01, 0x90),
      c(0x01, 0x90),
      e(0x00, 0x01, 0xf4),
      s(0x40),
      { write: [0x04, 0x00] },
      // 1.000 mV over the 1.000 mV of 25 C is 2.000 mV, 49.2 C in the table.
      h(0x03, 0x13),
    ];
    expect(await readWith(steps)).toEqual({
      kind: 'sample',
      chip: 'MCP9601',
      emfMicrovolts: 1000,
      coldJunctionC: 25,
      fresh: true,
    });
  });

  it('takes six transactions once it knows the chip, and says when the voltage is the old one', async () => {
    const healthy = [is9601, s(0x00), e(0, 1, 0xf4), c(0x01, 0x91), e(0, 1, 0xf4), s(0x00)];
    const first = [is9601, ...settingsKept, s(0), e(0, 1, 0xf4), c(1, 0x90), c(1, 0x90), e(0, 1, 0xf4), s(0)];
    expect(await readWith([...first, ...healthy], 2)).toMatchObject({
      fresh: false,
      coldJunctionC: 25.0625,
    });
  });

  it.each([
    [
      'two chips on its address: 0x0130 is 19 C, where its own voltage makes 49.2 C',
      [0x01, 0x30],
      'two-chips',
    ],
    ['49.2 C and 4 C more still pass', [0x03, 0x50], undefined],
    ['49.2 C and 6 C more do not', [0x03, 0x74], 'two-chips'],
  ] as const)('compares its hot junction with its voltage: %s', async (_, says, fault) => {
    const pair = [s(0x40), e(0, 1, 0xf4), c(1, 0x90), c(1, 0x90), e(0, 1, 0xf4), s(0x40)];
    const again = fault ? [e(0, 1, 0xf4), h(...says)] : [];
    const steps = [is9601, ...settingsKept, ...pair, { write: [0x04, 0x00] }, h(...says), ...again];
    const answer = await readWith(steps);
    expect(answer.kind === 'fault' ? answer.fault : undefined).toBe(fault);
  });

  it('does not accuse the chip when a conversion came in between', async () => {
    const pair = [s(0x40), e(0, 1, 0xf4), c(1, 0x90), c(1, 0x90), e(0, 1, 0xf4), s(0x40)];
    const steps = [is9601, ...settingsKept, ...pair, { write: [0x04, 0x00] }, h(0x05, 0), e(0, 3, 0)];
    expect(await readWith(steps)).toMatchObject({ fault: 'not-settled' });
  });

  it('does not accuse the chip of a byte that was damaged on its way', async () => {
    const pair = [s(0x40), e(0, 1, 0xf4), c(1, 0x90), c(1, 0x90), e(0, 1, 0xf4), s(0x40)];
    const looked = [h(0x43, 0x13), e(0, 1, 0xf4), h(0x03, 0x13)];
    const steps = [is9601, ...settingsKept, ...pair, { write: [0x04, 0x00] }, ...looked];
    expect(await readWith(steps)).toMatchObject({ fault: 'not-settled' });
  });

  it('writes settings that are not as wanted and reads them back', async () => {
    const steps = [
      is9601,
      { read: sensor, gives: [0x13] },
      { write: [0x05, 0x00] },
      { read: sensor, gives: [0x00] },
      { read: device, gives: [0x00] },
      ...[s(0), e(0, 0, 1), c(1, 0x90), c(1, 0x90), e(0, 0, 1), s(0)],
    ];
    expect(await readWith(steps)).toMatchObject({ kind: 'sample', emfMicrovolts: 2 });
  });

  it('names settings that do not stick', async () => {
    const steps = [
      is9601,
      { read: sensor, gives: [0x13] },
      { write: [0x05, 0x00] },
      { read: sensor, gives: [0x13] },
    ];
    expect(await readWith(steps)).toMatchObject({ fault: 'misconfigured' });
  });

  it('reads the cold junction again when a conversion finished in between', async () => {
    const steps = [
      is9601,
      ...settingsKept,
      ...[s(0), e(0, 1, 0), c(1, 0x90), c(1, 0x90), e(0, 1, 2), c(1, 0x91), e(0, 1, 2), s(0x40)],
      { write: [0x04, 0x00] },
    ];
    expect(await readWith(steps)).toMatchObject({ emfMicrovolts: 516, coldJunctionC: 25.0625 });
  });

  it('gives no pair when three readings of the voltage differ', async () => {
    const steps = [
      is9601,
      ...settingsKept,
      ...[s(0), e(0, 1, 0), c(1, 0x90), c(1, 0x90), e(0, 1, 3), c(1, 0x90), e(0, 1, 6)],
    ];
    expect(await readWith(steps)).toMatchObject({ fault: 'not-settled' });
  });

  it.each([
    [0x10, [0x41, 0x10], 'open'],
    [0x20, [0x41, 0x10], 'short'],
    [0x10, [0x40, 0x10], 'out-of-range'],
  ] as const)('status %i of id %j is %s, whatever the voltage says', async (bits, gives, fault) => {
    const steps = [
      { read: id, gives },
      ...settingsKept,
      ...[s(bits), e(0, 0, 0), c(1, 0x90), c(1, 0x90), e(0, 0, 0), s(bits)],
    ];
    expect(await readWith(steps)).toMatchObject({ kind: 'fault', fault });
  });

  it('names swapped wires, which the chip itself only calls open, by the voltage far below zero', async () => {
    const pair = [e(0xff, 0xfb, 0x82), c(1, 0x90), c(1, 0x90), e(0xff, 0xfb, 0x82)];
    const steps = [is9601, ...settingsKept, s(0x10), ...pair, s(0x10)];
    expect(await readWith(steps)).toMatchObject({ kind: 'fault', fault: 'reversed' });
  });

  it('does not believe fault bits that come and go while they are read', async () => {
    const steps = [
      is9601,
      ...settingsKept,
      ...[s(0x10), e(0, 0, 0), c(1, 0x90), c(1, 0x90), e(0, 0, 0), s(0x00)],
    ];
    expect(await readWith(steps)).toMatchObject({ fault: 'not-settled' });
  });

  it('says which address does not answer, and after how few transactions it gave up: one', async () => {
    const answer = await readWith([{ read: id, gives: 'nothing' }]);
    expect(answer).toMatchObject({ fault: 'no-answer', detail: expect.stringContaining('0x67') });
  });

  it('names another chip by what it says', async () => {
    expect(await readWith([{ read: id, gives: [0x58, 0x01] }])).toMatchObject({
      fault: 'wrong-chip',
      detail: expect.stringContaining('0x58'),
    });
  });

  it('detects bytes sent twice because the chip was not waited for', async () => {
    expect(await readWith([{ read: id, gives: [0x41, 0x41] }])).toMatchObject({ fault: 'repeated-bytes' });
    const inTheVoltage = [
      is9601,
      ...settingsKept,
      ...[s(0), e(0x00, 0x6b, 0x33), c(1, 0x90), c(1, 0x90), e(0x00, 0x00, 0x6b)],
    ];
    expect(await readWith(inTheVoltage)).toMatchObject({ fault: 'repeated-bytes' });
    const inTheColdJunction = [is9601, ...settingsKept, s(0), e(0, 1, 0), c(1, 0x90), c(1, 1)];
    expect(await readWith(inTheColdJunction)).toMatchObject({ fault: 'repeated-bytes' });
  });

  it('refuses a voltage that no thermocouple gives', async () => {
    const steps = [
      is9601,
      ...settingsKept,
      ...[s(0), e(0x01, 0xff, 0xff), c(1, 0x90), c(1, 0x90), e(0x01, 0xff, 0xff)],
    ];
    expect(await readWith(steps)).toMatchObject({ fault: 'out-of-range' });
  });
});
