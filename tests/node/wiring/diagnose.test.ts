import { describe, expect, test } from 'vitest';
import { thermistorOhms } from '../../../calibration/index.js';
import { converterFor } from '../../../node/convert/converter.js';
import type { Sample } from '../../../node/input/sample.js';
import type { Kit } from '../../../node/kit/schema.js';
import type { Sensed } from '../../../node/sense/senses.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { WiringView } from '../../../node/wiring/look.js';
import { beta10k, kitWith, ntcOn } from '../kit-with.js';

const board = { state: 'connected', detail: 'StandardFirmata 2.5', sinceMs: asMonotonicMs(0) } as const;
const gas = { channel: { kind: 'mcp960x', address: 0x67 }, place: 'dry-exhaust' };

/** Counts of a divider with `resistorOhms` at a temperature, with a noise that a seed of one line gives. */
const ntcAt = (temperatureC: number, pass: number, resistorOhms = 1_000, noise = 0.4): Sample => {
  const ohms = thermistorOhms(beta10k, temperatureC);
  const counts = (1024 * ohms) / (ohms + resistorOhms) + noise * Math.sin(pass * 12.9898);
  return { kind: 'counts', counts, fullScale: 1024, noiseCounts: 0.5, taken: 5, strays: 0 };
};
const gasAt = (emfMicrovolts: number, coldJunctionC = 20): Sample => ({
  kind: 'thermocouple',
  emfMicrovolts,
  coldJunctionC,
});
const silent = (fault: string, detail: string): Sample => ({
  kind: 'nothing',
  reason: 'no-answer',
  fault,
  detail,
});

type Of = (pass: number) => Sample | undefined;
const lookAt = (kit: Kit, of: readonly Of[], more: Partial<Sensed> = {}, passes = 100) => {
  const view = new WiringView(kit, new Map(kit.probes.map((probe) => [probe.id, converterFor(probe)])));
  for (let pass = 0; pass < passes; pass++)
    view.take({
      atMs: asMonotonicMs(pass * 100),
      board: 'connected',
      running: {},
      referencePin: 'none',
      complete: true,
      sampled: of.flatMap((sampleAt, i) => {
        const sample = sampleAt(pass);
        return sample ? [{ probe: `p${i}`, atMs: asMonotonicMs(pass * 100), sample }] : [];
      }),
      ...more,
    });
  return view;
};
const faultsOf = (kit: Kit, of: readonly Of[], more?: Partial<Sensed>, passes?: number) => {
  const look = lookAt(kit, of, more, passes).look(board);
  return {
    all: look.faults.map(({ fault }) => fault),
    probes: look.probes.map(({ faults }) => faults.map(({ fault }) => fault)),
  };
};
const one = kitWith([{ channel: ntcOn('A0') }]);
const oneGas = kitWith([gas]);

test('a well-wired probe shows its whole chain and no fault', () => {
  const [look] = lookAt(one, [(pass) => ntcAt(25, pass)]).look(board).probes;
  expect(look).toMatchObject({
    probe: 'p0',
    input: 'A0',
    fullScale: 1024,
    volts: expect.closeTo((5 * 10) / 11, 2),
    ohms: expect.closeTo(10_000, -3),
    temperatureC: expect.closeTo(25, 0),
    quality: 'good',
    readingsPerS: expect.closeTo(10, 0),
    faults: [],
  });
  expect(look?.counts).toBeCloseTo(930.9, 0);
  expect(look?.noiseC).toBeGreaterThan(0);
});

test('before anything was received it says so, and is no temperature', () => {
  const look = lookAt(one, [() => undefined]).look(board);
  expect(look.probes[0]).toMatchObject({ quality: 'nothing-yet', faults: [{ fault: 'nothing-yet' }] });
});

describe('each fault is distinguished from the others', () => {
  const counts = (value: number): Sample => ({ ...ntcAt(25, 0), counts: value }) as Sample;
  test.each([
    ['an open thermistor', one, () => counts(1023.5), ['open']],
    ['a short to ground', one, () => counts(0.5), ['short']],
    ['an absent chip', oneGas, () => silent('no-answer', 'No acknowledge.'), ['no-answer']],
    [
      'an open thermocouple',
      oneGas,
      () => ({ kind: 'nothing', reason: 'open', detail: '' }) as const,
      ['open'],
    ],
    ['a swapped thermocouple on a warm exhaust', oneGas, () => gasAt(-1_000), ['reversed']],
    ['a swapped thermocouple on a hot exhaust', oneGas, () => gasAt(-5_800), ['reversed']],
    [
      'an AD8495 that gives nothing',
      kitWith([{ channel: { kind: 'ad8495', pin: 'A3' } }]),
      () => counts(0.5),
      ['short'],
    ],
    [
      'an AD8495 at 4.97 V, whose thermocouple is broken',
      kitWith([{ channel: { kind: 'ad8495', pin: 'A3' } }]),
      () => counts((4.97 / 5) * 1024),
      ['open'],
    ],
    ['a cold junction at 100 C', oneGas, (pass: number) => gasAt(8_000 + (pass % 3), 100), ['cold-junction']],
  ] as const)('%s', (_, kit, of, faults) => {
    expect(faultsOf(kit, [of]).probes).toEqual([faults]);
  });

  test('a loose connection: contact comes and goes', () => {
    const of: Of = (pass) => (pass % 30 < 3 ? counts(1023.5) : ntcAt(25, pass));
    expect(faultsOf(one, [of]).probes).toEqual([['loose']]);
  });

  test('stray counts within the passes are loose contact too', () => {
    const of: Of = (pass) => ({ ...ntcAt(25, pass), ...(pass % 20 === 0 && { strays: 1 }) }) as Sample;
    expect(faultsOf(one, [of]).probes).toEqual([['loose']]);
  });

  test('two chips on one address: answers that contradict each other', () => {
    const of: Of = (pass) => (pass % 10 < 5 ? gasAt(4_000) : silent('wrong-chip', 'It says 0x40.'));
    expect(faultsOf(oneGas, [of]).probes).toEqual([['contradicting']]);
  });

  test('a value without any noise for half a minute is stuck; with a little noise it is not', () => {
    expect(faultsOf(one, [() => ntcAt(25, 0)], {}, 310).probes).toEqual([['stuck']]);
    expect(faultsOf(one, [() => ntcAt(25, 0)], {}, 290).probes).toEqual([[]]);
    expect(faultsOf(one, [(pass) => ntcAt(25, pass)], {}, 310).probes).toEqual([[]]);
  });

  test('a divider with a resistor ten times too small shows on a cold boat, with the resistor that would fit', () => {
    const kit = kitWith([{ channel: ntcOn('A0', { resistorOhms: 10_000 }) }, gas]);
    const cold: Of = () => gasAt(0, 20);
    const look = lookAt(kit, [(pass) => ntcAt(20, pass, 1_000), cold]).look(board);
    expect(look.probes[0]?.faults).toMatchObject([{ fault: 'wrong-resistor' }]);
    expect(look.probes[0]?.faults[0]?.message).toContain('about 1000 ohm; the kit file says 10000');
    expect(faultsOf(kit, [(pass) => ntcAt(20, pass, 10_000), cold]).probes[0]).toEqual([]);
    // With an engine warm there is nothing to compare with, and nothing is claimed.
    const warm: Of = () => gasAt(4_000, 30);
    expect(faultsOf(kit, [(pass) => ntcAt(20, pass, 1_000), warm]).probes[0]).toEqual([]);
  });
});

describe('faults of no single probe', () => {
  const two = kitWith([{ channel: ntcOn('A0') }, { channel: ntcOn('A1') }]);
  const well: Of = (pass) => ntcAt(25, pass);
  const at =
    (reason: 'stale'): Of =>
    () => ({ kind: 'nothing', reason, detail: '' });

  test('a board that is disconnected, with what its link says', () => {
    const look = lookAt(one, [well]).look({
      state: 'connecting',
      trouble: 'wrong-firmware',
      detail: 'It runs another program.',
      sinceMs: asMonotonicMs(0),
    });
    expect(look.faults).toMatchObject([{ fault: 'wrong-firmware', message: 'It runs another program.' }]);
  });

  test('all inputs of the board silent: its sampling has stopped', () => {
    expect(faultsOf(two, [at('stale'), at('stale')]).all).toEqual(['sampling-stopped']);
    expect(faultsOf(two, [at('stale'), well]).all).toEqual([]);
  });

  test('all dividers failing the same way: what they share', () => {
    const open: Of = () => ({ ...ntcAt(25, 0), counts: 1023.5 }) as Sample;
    expect(faultsOf(two, [open, open]).all).toEqual(['all-dividers']);
    expect(faultsOf(two, [open, well]).all).toEqual([]);
  });

  test('a chip where the kit has none: with its address and what it is', () => {
    const view = lookAt(one, [well]);
    const [fault] = view.look(board, undefined, new Map([[0x61, 'MCP9601']])).faults;
    expect(fault).toMatchObject({
      fault: 'unexpected-chip',
      message: expect.stringContaining('MCP9601 answers on 0x61'),
    });
  });

  test('one amplifier missing while another contradicts itself: both are on one address', () => {
    const twoGas = kitWith([
      gas,
      { ...gas, engine: 'starboard', channel: { kind: 'mcp960x', address: 0x60 } },
    ]);
    const doubted: Of = () => silent('two-chips', 'It says 8.0 C.');
    const missing: Of = () => silent('no-answer', 'No acknowledge.');
    const { faults } = lookAt(twoGas, [doubted, missing]).look(board);
    expect(faults).toMatchObject([{ fault: 'one-address-twice' }]);
    expect(faults[0]?.message).toContain('0x60 does not answer while 0x67 contradicts itself');
    expect(faultsOf(twoGas, [() => gasAt(4_000), missing]).all).toEqual([]);
    expect(faultsOf(twoGas, [doubted, () => gasAt(4_000)]).all).toEqual([]);
  });

  test('a reference pin that is off', () => {
    expect(faultsOf(one, [well], { referencePin: 'off' }).all).toEqual(['canary-astray']);
  });

  test('refused messages are reported with their number, and stay reported', () => {
    const view = lookAt(one, [well]);
    const counters = {
      connects: 1,
      resets: 0,
      refusedBy: {},
      i2cUnanswered: 0,
      pinsRepaired: 0,
    };
    // Stray bytes of the reset, before the handshake: however many, they are no fault of the cable.
    const resetting = view.look({ ...board, state: 'connecting' }, { ...counters, refused: 3 });
    expect(resetting.faults.map(({ fault }) => fault)).toEqual(['connecting']);
    expect(view.look({ ...board, sinceMs: asMonotonicMs(1) }, { ...counters, refused: 5 }).faults).toEqual(
      [],
    );
    expect(view.look(board, { ...counters, refused: 0 }).faults).toEqual([]);
    expect(view.look(board, { ...counters, refused: 7 }).faults[0]?.message).toContain('7 messages');
    expect(view.look(board, { ...counters, refused: 7 }).faults[0]?.fault).toBe('garbled-link');
  });
});

test('every fault says what to check', () => {
  const look = lookAt(kitWith([{ channel: ntcOn('A0') }, gas]), [
    () => ({ ...ntcAt(25, 0), counts: 1023.5 }) as Sample,
    () => silent('no-answer', 'No acknowledge.'),
  ]).look(board);
  for (const { faults } of look.probes)
    for (const fault of faults) {
      expect(fault.message.length).toBeGreaterThan(20);
      expect(fault.check.length).toBeGreaterThan(20);
    }
});
