import { z } from 'zod';
import { ad8495Chain } from '../../calibration/index.js';
import { countUncertainty } from '../input/count-uncertainty.js';
import { ad8495Fields, ad8495RailVolts, ad8495VoltsPerC, ad8495Words } from './ad8495-amplifier.js';
import { onAnaloguePin } from './analog-pin.js';
import { analoguePin } from './fields.js';
import type { ChannelKind } from './kind.js';
import { thermocoupleMeter } from './thermocouple-input.js';

const schema = z.strictObject({
  kind: z.literal('ad8495'),
  pin: analoguePin,
  ...ad8495Fields,
});

/** A code this close to the bottom of the converter is a wire, or an amplifier without supply. */
const railCounts = 2;
/** Counts of the board's own converter over its supply. */
const boardCounts = 1024;
/** A USB port holds its supply within 5 % (USB 2.0, 7.2.2: 4.75 to 5.25 V), rectangular. */
const supplyTolerance = 0.05;

/** An AD8495 on a pin of the board's own converter. */
export const ad8495 = {
  ...onAnaloguePin,
  schema,
  example: 'channel: { kind: ad8495, pin: A1 }',
  circuit: 'other',
  servesAsColdJunction: false,
  supplyVolts: ({ supplyVolts }) => supplyVolts,
  electrical: ({ supplyVolts }, sample) => {
    if (sample.kind !== 'counts') return { missing: 'implausible' };
    const { counts, fullScale } = sample;
    // Open thermocouple: the amplifier runs to its supply. Without supply, or shorted, its output is on ground.
    if (counts < railCounts) return { missing: 'short' };
    const volts = (counts / fullScale) * supplyVolts;
    if (volts > supplyVolts - ad8495RailVolts) return { missing: 'open' };
    return { signal: { raw: volts, rawUnit: 'volt' } };
  },
  meter: {
    ...thermocoupleMeter,
    inputUncertaintyC({ supplyVolts }, { raw }, sample) {
      const fromSupply = (raw * supplyTolerance) / Math.sqrt(3);
      const fromCounts =
        sample?.kind === 'counts' ? (supplyVolts / sample.fullScale) * countUncertainty(sample) : 0;
      return Math.hypot(fromSupply, fromCounts) / ad8495VoltsPerC;
    },
    calibrated: ({ supplyVolts, referenceVolts }, wire) => ({
      sensor: { kind: 'ad8495', referenceVolts },
      chain: ad8495Chain(supplyVolts / boardCounts, wire, supplyTolerance),
    }),
  },
  words: ad8495Words,
} satisfies ChannelKind<z.infer<typeof schema>>;
