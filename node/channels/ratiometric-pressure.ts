import { z } from 'zod';
import { onAnaloguePin } from './analog-pin.js';
import { analoguePin } from './fields.js';
import type { ChannelKind } from './kind.js';

const schema = z.strictObject({
  kind: z.literal('ratiometric-pressure'),
  pin: analoguePin,
  /** Gauge pressure at 4.5 V of a 5 V supply, kPa; 200 kPa is 2 bar. 0.5 V is no pressure. */
  fullScaleKpa: z.number().min(50).max(1000).default(200),
});

/**
 * A ratiometric transducer gives 10 % of its supply at no pressure and 90 % at full scale: 0.5 to 4.5 V of 5 V (usual
 * datasheets of such parts). The board converts against the same supply, so that the supply cancels.
 */
const lowShare = 0.1;
const spanShare = 0.8;
/** Volts are given as of a supply of exactly this. */
const nominalVolts = 5;

/**
 * Outside 0.5 to 4.5 V by more than this it is a wire. The room is for a zero error of 1 % of the span and for the
 * suction of half a metre of water that hangs below a probe after a stop (common practice, no source).
 */
const marginVolts = 0.1;
const leastVolts = lowShare * nominalVolts - marginVolts;
const mostVolts = (lowShare + spanShare) * nominalVolts + marginVolts;

/** Accuracy of a cheap transducer over temperature, part of its full scale, rectangular (usual datasheets: 1 to 2 %). */
const accuracy = 0.02;

/** Gauge pressure of `volts` on the nominal line, kPa. */
export const nominalKpa = (fullScaleKpa: number, volts: number): number =>
  ((volts / nominalVolts - lowShare) / spanShare) * fullScaleKpa;

/** A ratiometric pressure transducer, 0.5 to 4.5 V, on a pin of the board's own converter. */
export const ratiometricPressure = {
  ...onAnaloguePin,
  schema,
  example: 'channel: { kind: ratiometric-pressure, pin: A2, fullScaleKpa: 200 }',
  circuit: 'other',
  servesAsColdJunction: false,
  supplyVolts: () => nominalVolts,
  electrical: (_, sample) => {
    if (sample.kind !== 'counts') return { missing: 'implausible' };
    const volts = (sample.counts / sample.fullScale) * nominalVolts;
    // The resistor from pin to ground pulls a broken wire to 0 V.
    if (volts < leastVolts) return { missing: 'open' };
    if (volts > mostVolts) return { missing: 'short-to-supply' };
    return { signal: { raw: volts, rawUnit: 'volt' } };
  },
  meter: {
    quantity: 'pressure',
    nominal: ({ fullScaleKpa }, { raw }) => ({
      value: nominalKpa(fullScaleKpa, raw),
      uncertainty: (accuracy * fullScaleKpa) / Math.sqrt(3),
    }),
  },
  words: {
    open: [
      'Less than 0.5 V comes from the transducer, which it never gives: a wire is broken, it has no supply, or its signal touches ground.',
      'Measure 5 V between its supply and ground at its plug, then its signal: about 0.5 V with the engine stopped. Look for a plug half out and for a chafed wire.',
    ],
    'short-to-supply': [
      'More than 4.5 V comes from the transducer, which it never gives: its signal touches the 5 V wire, or its ground is broken.',
      'Look for the signal wire touching the 5 V wire, and measure its ground wire from plug to board: a few tenths of an ohm.',
    ],
  },
} satisfies ChannelKind<z.infer<typeof schema>>;
