import { describe, expect, test } from 'vitest';
import { converterFor } from '../../../node/convert/converter.js';
import type { Sample } from '../../../node/input/sample.js';
import type { Probe } from '../../../node/kit/schema.js';
import { qualityOf } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { kitWith, ntcOn, probeWith } from '../kit-with.js';

const counts = (value: number, more: Partial<Extract<Sample, { kind: 'counts' }>> = {}): Sample => ({
  kind: 'counts',
  counts: value,
  fullScale: 1024,
  noiseCounts: 0.5,
  taken: 5,
  strays: 0,
  ...more,
});
const qualityFor = (
  channel: object,
  sample: Sample,
  rest: { referencePinOff?: boolean; coldJunctionC?: number } = {},
) => {
  const { coldJunctionC, ...more } = rest;
  return qualityOf(
    converterFor(probeWith(channel)).convert(
      { probe: 'p0', atMs: asMonotonicMs(1), sample, ...more },
      coldJunctionC,
    ),
  );
};
const ad8495 = { kind: 'ad8495', pin: 'A3' };
const mcp = { kind: 'mcp960x', address: 0x60 };
const ads = { address: 0x48, input: 'AIN0' };

describe('thermistor towards ground', () => {
  test.each([
    [0.5, 'short'],
    [1.9, 'short'],
    [2.5, 'short'], // 2.4 ohm: no thermistor is that hot.
    [100, 'good'], // 108 ohm, 178 C
    [909.5, 'good'], // 10 kohm at 25 C
    [1010, 'good'], // 72 kohm, -15 C
    [1020, 'open'], // 255 kohm, below -30 C: an open wire through a wet connector
    [1023.5, 'open'],
  ] as const)('%d counts of 1024 are %s', (value, quality) => {
    expect(qualityFor(ntcOn('A0'), counts(value))).toBe(quality);
  });
});

describe('thermistor towards the supply', () => {
  test.each([
    [0.5, 'open'],
    [4, 'open'],
    [114, 'good'],
    [1021, 'short'],
    [1023.5, 'short-to-supply'],
  ] as const)('%d counts of 1024 are %s', (value, quality) => {
    expect(qualityFor(ntcOn('A0', { thermistorSide: 'high' }), counts(value))).toBe(quality);
  });
});

test.each([
  ['on ground', counts(0.5), 'short'],
  ['at 125 mV', counts(25.6), 'good'],
  ['at its supply', counts(1023.5), 'open'],
] as const)('AD8495 %s', (_, sample, quality) => {
  expect(qualityFor(ad8495, sample)).toBe(quality);
});

test.each([
  ['a hot gas', 9_577, 29.8, 'good'],
  ['a cold junction at -41 C', 9_577, -41, 'cold-junction'],
  ['a cold junction at 126 C', 9_577, 126, 'cold-junction'],
  ['a voltage beyond type K', 60_000, 25, 'implausible'],
  ['a reversed thermocouple at 400 C', -15_400, 25, 'reversed'],
  ['a pipe 38 C below its terminals in a hot engine room', -1_550, 50, 'good'],
  ['a reversed thermocouple 42 C above its terminals', -1_650, 25, 'reversed'],
] as const)('MCP9601 with %s', (_, emfMicrovolts, coldJunctionC, quality) => {
  expect(qualityFor(mcp, { kind: 'thermocouple', emfMicrovolts, coldJunctionC })).toBe(quality);
});

test.each(['no-answer', 'stale', 'board-away', 'open', 'short', 'out-of-range'] as const)(
  'what the input calls %s stays that',
  (reason) => {
    expect(qualityFor(mcp, { kind: 'nothing', reason, detail: '' })).toBe(reason);
  },
);

test('while the reference pin is off, counts of the board are not believed, and a chip on the bus still is', () => {
  expect(qualityFor(ntcOn('A0'), counts(909.5), { referencePinOff: true })).toBe('canary-astray');
  const sample: Sample = { kind: 'thermocouple', emfMicrovolts: 1000, coldJunctionC: 20 };
  expect(qualityFor(mcp, sample, { referencePinOff: true })).toBe('good');
});

describe('through an ADS1115', () => {
  const volts = (value: number, atLimit = false): Sample => ({
    kind: 'volts',
    volts: value,
    stepVolts: 0.000125,
    atLimit,
  });
  const bare = { kind: 'thermocouple-ads1115', address: 0x48, input: 'AIN0-AIN1', coldJunction: 'p0' };

  test('an AD8495 at 125 mV is good, on ground is short, beyond the range is out of range', () => {
    const channel = { kind: 'ad8495-ads1115', ...ads };
    expect(qualityFor(channel, volts(0.125))).toBe('good');
    expect(qualityFor(channel, volts(0.001))).toBe('short');
    expect(qualityFor(channel, volts(6.1, true))).toBe('out-of-range');
  });

  test('an AD8495 whose thermocouple broke is open, though its 4.9 V could be 965 C; 800 C is read', () => {
    const channel = { kind: 'ad8495-ads1115', ...ads };
    // Type K at 800 C: 33.275 mV (ITS-90), times 122.4 is 4.07 V.
    expect(qualityFor(channel, volts(4.07))).toBe('good');
    expect(qualityFor(channel, volts(4.9))).toBe('open');
    // On a supply that is 5 % low, with 0.1 V that it cannot reach.
    expect(qualityFor(channel, volts(4.65))).toBe('open');
    expect(qualityFor({ ...channel, supplyVolts: 3.3 }, volts(3.2))).toBe('open');
    expect(qualityFor(ad8495, counts((4.07 / 5) * 1024))).toBe('good');
    for (const atRail of [4.97, 4.9]) expect(qualityFor(ad8495, counts((atRail / 5) * 1024))).toBe('open');
  });

  test('a thermistor divider whose supply is measured uses the same arithmetic as on the board', () => {
    const channel = { ...ntcOn('A0'), kind: 'ntc-divider-ads1115', ...ads } as Record<string, unknown>;
    delete channel.pin;
    // 10 kohm over 1 kohm: 10/11 of the supply.
    const reading = converterFor(probeWith(channel)).convert({
      probe: 'p0',
      atMs: asMonotonicMs(1),
      sample: counts((26_000 * 10) / 11, { fullScale: 26_000, taken: 1 }),
    });
    expect(reading.result).toMatchObject({ temperatureC: expect.closeTo(25, 6) });
  });

  test('a bare thermocouple needs a cold junction, and beyond 80 mV it is open', () => {
    const probe = kitWith([{ channel: ntcOn('A0') }, { channel: bare }]).probes[1] as Probe;
    const { convert, coldJunction } = converterFor(probe);
    const at = (value: number, coldJunctionC?: number) =>
      qualityOf(convert({ probe: 'p1', atMs: asMonotonicMs(1), sample: volts(value) }, coldJunctionC));
    expect(coldJunction).toBe('p0');
    expect(at(0.008)).toBe('stale');
    expect(at(0.008, 25)).toBe('good');
    expect(at(0.081, 25)).toBe('open');
    expect(at(-0.081, 25)).toBe('open');
  });
});

test('a divider of 1 % and one step of noise leaves 0.6 C at 25 C, and more where the divider is blind', () => {
  const uncertainty = (value: number) => {
    const { result } = converterFor(probeWith(ntcOn('A0', { resistorOhms: 10_000 }))).convert({
      probe: 'p0',
      atMs: asMonotonicMs(1),
      sample: counts(value),
    });
    return result.kind === 'measured' && result.quantity === 'temperature' ? result.uncertaintyC : Number.NaN;
  };
  // 5 % and 1 % tolerance as rectangular: 89 000 K^2 / 3977 K * 0.05 / sqrt(3) = 0.645 C; resistor 0.13 C.
  expect(uncertainty(512)).toBeCloseTo(Math.hypot(0.645, 0.129), 1);
  expect(uncertainty(60)).toBeGreaterThan(uncertainty(512));
});
