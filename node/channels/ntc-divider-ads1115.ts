import { z } from 'zod';
import { ads1115Divider } from '../../calibration/index.js';
import { ads1115DividerFields, dividerOnAds1115 } from './ads1115-input.js';
import type { ChannelKind } from './kind.js';
import {
  dividerElectrical,
  dividerFields,
  dividerMeter,
  dividerWords,
  wrongResistor,
} from './thermistor-divider.js';

const schema = z.strictObject({
  kind: z.literal('ntc-divider-ads1115'),
  ...ads1115DividerFields,
  ...dividerFields,
});

/** A thermistor and a resistor on one input of an ADS1115. */
export const ntcDividerAds1115 = {
  ...dividerOnAds1115,
  schema,
  example:
    'channel: { kind: ntc-divider-ads1115, address: 0x48, input: AIN0, supplyInput: AIN3, resistorOhms: 1000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }',
  circuit: 'divider',
  servesAsColdJunction: true,
  electrical: dividerElectrical,
  meter: {
    ...dividerMeter,
    calibrated: ({ resistorOhms, thermistorSide, thermistor, supplyVolts, supplyInput }) => ({
      sensor: { kind: 'thermistor', law: thermistor },
      chain: ads1115Divider({ resistorOhms, thermistorSide }, supplyVolts, supplyInput !== undefined),
    }),
  },
  words: dividerWords,
  doubts: wrongResistor,
} satisfies ChannelKind<z.infer<typeof schema>>;
