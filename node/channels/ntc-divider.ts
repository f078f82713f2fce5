import { z } from 'zod';
import { boardDivider } from '../../calibration/index.js';
import { onAnaloguePin } from './analog-pin.js';
import { analoguePin } from './fields.js';
import type { ChannelKind } from './kind.js';
import {
  dividerElectrical,
  dividerFields,
  dividerMeter,
  dividerWords,
  wrongResistor,
} from './thermistor-divider.js';

const schema = z.strictObject({ kind: z.literal('ntc-divider'), pin: analoguePin, ...dividerFields });

/** A thermistor and a resistor on a pin of the board's own converter. */
export const ntcDivider = {
  ...onAnaloguePin,
  schema,
  example:
    'channel: { kind: ntc-divider, pin: A0, resistorOhms: 1000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }',
  circuit: 'divider',
  servesAsColdJunction: true,
  supplyVolts: () => 5,
  electrical: dividerElectrical,
  meter: {
    ...dividerMeter,
    calibrated: ({ resistorOhms, thermistorSide, thermistor }) => ({
      sensor: { kind: 'thermistor', law: thermistor },
      chain: boardDivider({ resistorOhms, thermistorSide }),
    }),
  },
  words: dividerWords,
  doubts: wrongResistor,
} satisfies ChannelKind<z.infer<typeof schema>>;
