import { z } from 'zod';
import { boardDivider } from '../../calibration/index.js';
import { AnalogChannel } from '../input/analog-channel.js';
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
  schema,
  example:
    'channel: { kind: ntc-divider, pin: A0, resistorOhms: 1000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }',
  circuit: 'divider',
  servesAsColdJunction: true,
  takes: ({ pin }) => [`pin ${pin}`],
  inputName: ({ pin }) => pin,
  wired: ({ pin }) => pin,
  supplyVolts: () => 5,
  open: (probe, { pin }, board) => new AnalogChannel(probe, board.analogInput(pin), board.clock),
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
