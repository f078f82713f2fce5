import { z } from 'zod';
import { ads1115Divider, platinumOhmsPerC, platinumTemperatureC } from '../../calibration/index.js';
import { countUncertainty } from '../input/count-uncertainty.js';
import { ads1115DividerFields, dividerOnAds1115 } from './ads1115-input.js';
import type { ChannelKind } from './kind.js';
import { dividerElectrical } from './thermistor-divider.js';

const schema = z.strictObject({
  kind: z.literal('platinum-divider-ads1115'),
  ...ads1115DividerFields,
  resistorOhms: z.number().min(100).max(100_000),
  /** 100 for a Pt100, 1000 for a Pt1000. */
  r0Ohms: z.union([z.literal(100), z.literal(500), z.literal(1000)]),
  grade: z.enum(['AA', 'A', 'B']).default('B'),
});

/** Half-widths: a film resistor of 1 %, two leads of unknown resistance. */
const resistorShare = 0.01;
const leadOhms = 0.5;
/** As wide as its places on a boat; common practice, no source. */
const coldestC = -40;
const hottestC = 400;

/** A Pt100 or Pt1000 from one input of an ADS1115 to ground, a resistor from there to the supply. */
export const platinumDividerAds1115 = {
  ...dividerOnAds1115,
  schema,
  example:
    'channel: { kind: platinum-divider-ads1115, address: 0x48, input: AIN0, supplyInput: AIN3, resistorOhms: 1000, r0Ohms: 1000 }',
  circuit: 'divider',
  servesAsColdJunction: true,
  electrical: ({ resistorOhms }, sample) =>
    dividerElectrical({ resistorOhms, thermistorSide: 'low' }, sample),
  meter: {
    quantity: 'temperature',
    inputUncertaintyC({ resistorOhms, r0Ohms }, { raw }, sample) {
      const perC = platinumOhmsPerC(r0Ohms, platinumTemperatureC(r0Ohms, raw));
      const limitsOhms = Math.hypot(raw * resistorShare, leadOhms) / Math.sqrt(3);
      if (sample?.kind !== 'counts') return limitsOhms / perC;
      const ohmsPerCount = (raw + resistorOhms) ** 2 / (resistorOhms * sample.fullScale);
      return Math.hypot(limitsOhms, ohmsPerCount * countUncertainty(sample)) / perC;
    },
    /** The resistance rises with the temperature: very cold is a short, very hot is open. */
    implausible(temperatureC) {
      if (temperatureC < coldestC) return 'short';
      return temperatureC > hottestC ? 'open' : undefined;
    },
    outsideCurve: (_, side) => (side === 'above' ? 'open' : 'short'),
    calibrated: ({ resistorOhms, r0Ohms, grade, supplyVolts, supplyInput }) => ({
      sensor: { kind: 'platinum', r0Ohms, grade },
      chain: ads1115Divider({ resistorOhms, thermistorSide: 'low' }, supplyVolts, supplyInput !== undefined),
    }),
  },
  words: {
    open: [
      'No current flows through the platinum element: its circuit is open.',
      'Look for a broken wire or a connector half out. Unplugged, a Pt100 measures 108 ohm at room temperature, a Pt1000 1080.',
    ],
    short: [
      'The input is near ground: the element or its wires are shorted, or it is a Pt100 where the kit says Pt1000.',
      'Look for two bare wires that touch. Unplugged, a Pt100 measures 108 ohm at room temperature, a Pt1000 1080.',
    ],
    'short-to-supply': [
      'The input is at the supply voltage.',
      'Look for the signal wire touching the supply, or an element that is not connected to ground.',
    ],
  },
} satisfies ChannelKind<z.infer<typeof schema>>;
