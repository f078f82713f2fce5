import { z } from 'zod';
import { ads1115ThermocoupleChain } from '../../calibration/index.js';
import { onAds1115 } from './ads1115-input.js';
import { ads1115Address, letterType, slug } from './fields.js';
import type { ChannelKind } from './kind.js';
import {
  calibratedThermocouple,
  microvoltsPerC,
  reversedThermocouple,
  thermocoupleMeter,
  thermocoupleWords,
} from './thermocouple-input.js';

const schema = z.strictObject({
  kind: z.literal('thermocouple-ads1115'),
  address: ads1115Address,
  input: z.enum(['AIN0-AIN1', 'AIN0-AIN3', 'AIN1-AIN3', 'AIN2-AIN3']),
  thermocouple: letterType,
  /** The id of the thermistor probe that sits where the thermocouple wires end in copper. */
  coldJunction: slug,
});

/** Offset 3 codes of 7.8 uV at most (SBAS444D, 7.5), rectangular. */
const offsetMicrovolts = 24;
/** With nothing connected the inputs drift to a rail; a thermocouple stays within 80 mV. */
const mostVolts = 0.08;

/** A thermocouple straight on two inputs of an ADS1115; another probe measures its cold junction. */
export const thermocoupleAds1115 = {
  ...onAds1115,
  schema,
  example:
    'channel: { kind: thermocouple-ads1115, address: 0x48, input: AIN0-AIN1, thermocouple: K, coldJunction: terminal-block }',
  circuit: 'other',
  servesAsColdJunction: false,
  supplyVolts: () => 5,
  coldJunction: (channel) => channel.coldJunction,
  electrical: (_, sample, coldJunctionC) => {
    if (sample.kind !== 'volts') return { missing: 'implausible' };
    if (sample.atLimit || Math.abs(sample.volts) > mostVolts) return { missing: 'open' };
    if (coldJunctionC === undefined) return { missing: 'stale' };
    return { signal: { raw: sample.volts * 1e6, rawUnit: 'microvolt', coldJunctionC } };
  },
  meter: {
    ...thermocoupleMeter,
    inputUncertaintyC: () => offsetMicrovolts / microvoltsPerC / Math.sqrt(3),
    calibrated: calibratedThermocouple(ads1115ThermocoupleChain),
  },
  words: thermocoupleWords,
  doubts: reversedThermocouple,
} satisfies ChannelKind<z.infer<typeof schema>>;
