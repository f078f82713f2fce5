import { z } from 'zod';
import { onAnaloguePin } from './analog-pin.js';
import { analoguePin } from './fields.js';
import type { ChannelKind } from './kind.js';

const schema = z.strictObject({
  kind: z.literal('speed-volts'),
  pin: analoguePin,
  /** Crankshaft speed for each volt of the frequency-to-voltage converter, 1/min. */
  rpmPerVolt: z.number().min(50).max(5000),
});

/** Volts are given as of a supply of exactly this; the converter chip must be fed from the board's own 5 V. */
const nominalVolts = 5;
const railVolts = 0.02;

/** Tolerance of the timing resistor and capacitor of such a converter, rectangular (1 % parts, common practice). */
const accuracy = 0.02;

/** Pulses of the alternator through a frequency-to-voltage converter, on a pin of the board's own converter. */
export const speedVolts = {
  ...onAnaloguePin,
  schema,
  example: 'channel: { kind: speed-volts, pin: A3, rpmPerVolt: 900 }',
  circuit: 'other',
  servesAsColdJunction: false,
  supplyVolts: () => nominalVolts,
  electrical: (_, sample) => {
    if (sample.kind !== 'counts') return { missing: 'implausible' };
    const volts = (sample.counts / sample.fullScale) * nominalVolts;
    // No pulses give 0 V: a stopped engine and a broken wire look alike, and the running input distinguishes them.
    if (volts > nominalVolts - railVolts) return { missing: 'short-to-supply' };
    return { signal: { raw: volts, rawUnit: 'volt' } };
  },
  meter: {
    quantity: 'speed',
    nominal: ({ rpmPerVolt }, { raw }) => ({
      value: raw * rpmPerVolt,
      uncertainty: (raw * rpmPerVolt * accuracy) / Math.sqrt(3),
    }),
  },
  words: {
    'short-to-supply': [
      'The pin is at the supply voltage.',
      'Look for the signal wire touching the 5 V wire, or a converter without its ground.',
    ],
  },
} satisfies ChannelKind<z.infer<typeof schema>>;
