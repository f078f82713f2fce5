import { z } from 'zod';
import { ad8495Chain } from '../../calibration/index.js';
import { ad8495Fields, ad8495RailVolts, ad8495VoltsPerC, ad8495Words } from './ad8495-amplifier.js';
import { onAds1115 } from './ads1115-input.js';
import { ads1115Address, singleInput } from './fields.js';
import type { ChannelKind } from './kind.js';
import { thermocoupleMeter } from './thermocouple-input.js';

const schema = z.strictObject({
  kind: z.literal('ad8495-ads1115'),
  address: ads1115Address,
  input: singleInput,
  ...ad8495Fields,
});

/** ADS1115 at its 6.144 V range: one step, and its gain error of 0.15 % (SBAS444D, 7.5), rectangular. */
const stepVolts = 187.5e-6;
const gainTolerance = 0.0015;
/** Below this an AD8495 has no supply or a shorted output; at 25 C it gives 125 mV (datasheet, 5 mV/C). */
const deadAmplifierVolts = 0.01;
/** This converter does not see the supply, which may be 5 % low (USB 2.0, 7.2.2). */
const supplyTolerance = 0.05;

/** An AD8495 on one input of an ADS1115. */
export const ad8495Ads1115 = {
  ...onAds1115,
  schema,
  example: 'channel: { kind: ad8495-ads1115, address: 0x48, input: AIN0 }',
  circuit: 'other',
  servesAsColdJunction: false,
  supplyVolts: ({ supplyVolts }) => supplyVolts,
  electrical: ({ supplyVolts }, sample) => {
    if (sample.kind !== 'volts') return { missing: 'implausible' };
    if (sample.atLimit) return { missing: 'out-of-range' };
    if (sample.volts > supplyVolts * (1 - supplyTolerance) - ad8495RailVolts) return { missing: 'open' };
    if (sample.volts < deadAmplifierVolts) return { missing: 'short' };
    return { signal: { raw: sample.volts, rawUnit: 'volt' } };
  },
  meter: {
    ...thermocoupleMeter,
    inputUncertaintyC: (_, { raw }) => (raw * gainTolerance) / Math.sqrt(3) / ad8495VoltsPerC,
    calibrated: ({ referenceVolts }, wire) => ({
      sensor: { kind: 'ad8495', referenceVolts },
      chain: ad8495Chain(stepVolts, wire),
    }),
  },
  words: ad8495Words,
} satisfies ChannelKind<z.infer<typeof schema>>;
