import { z } from 'zod';
import { ads1115Divider } from '../../calibration/index.js';
import { adsInput, againstSupply, openAds1115, unanswered } from './ads1115-input.js';
import { ads1115 } from './chip.js';
import { ads1115Address, hex, singleInput } from './fields.js';
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
  address: ads1115Address,
  input: singleInput,
  /** The input that sees the divider's supply, so that the supply cancels; without it `supplyVolts` is believed. */
  supplyInput: singleInput.optional(),
  supplyVolts: z.number().min(1.8).max(5.5).default(5),
  ...dividerFields,
});

/** A thermistor and a resistor on one input of an ADS1115. */
export const ntcDividerAds1115 = {
  schema,
  example:
    'channel: { kind: ntc-divider-ads1115, address: 0x48, input: AIN0, supplyInput: AIN3, resistorOhms: 1000, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }',
  circuit: 'divider',
  chip: ads1115,
  servesAsColdJunction: true,
  takes: ({ address, input }) => [`address ${hex(address)} input ${input}`],
  inputName: ({ address, input }) => `${hex(address)} ${input}`,
  wired: ({ address, input, supplyInput, supplyVolts }) => [address, input, supplyInput, supplyVolts],
  supplyVolts: ({ supplyVolts }) => supplyVolts,
  open: (probe, { address, input, supplyInput, supplyVolts }, board) => {
    const chip = board.converterAt(address);
    return openAds1115(probe, { address, input }, board, async (answer) => {
      if (supplyInput === undefined) return againstSupply(answer, supplyVolts);
      const supply = await chip.read(adsInput(supplyInput));
      return supply.kind === 'fault' ? unanswered(supply) : againstSupply(answer, supply.volts);
    });
  },
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
