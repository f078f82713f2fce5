import { z } from 'zod';
import {
  betaLaw,
  degreesPerCount,
  dividerOhms,
  steinhartHart4Law,
  steinhartHartLaw,
  thermistorOhms,
  thermistorSlopeCPerOhm,
} from '../../calibration/index.js';
import { countUncertainty } from '../input/count-uncertainty.js';
import type { Sample } from '../input/sample.js';
import type { MissingReason, Signal } from '../reading/reading.js';
import type { Fault, FaultWords } from './fault.js';
import type { Electrical, HeardSample } from './kind.js';

/** A thermistor and a fixed resistor across the converter's own reference, so that the supply cancels. */
export const dividerFields = {
  resistorOhms: z.number().min(100).max(10e6),
  thermistorSide: z.enum(['low', 'high']).default('low'),
  thermistor: z.discriminatedUnion('law', [
    betaLaw.extend({
      r25Ohms: z.number().min(100).max(10e6),
      betaK: z.number().min(1000).max(7000),
    }),
    steinhartHartLaw,
    steinhartHart4Law,
  ]),
};
const fields = z.object(dividerFields);
type Divider = z.infer<typeof fields>;

/** A code this close to either end of a converter is a wire, not a thermistor. */
const railCounts = 2;

export const dividerElectrical = (
  divider: Pick<Divider, 'resistorOhms' | 'thermistorSide'>,
  sample: HeardSample,
): Electrical => {
  if (sample.kind !== 'counts') return { missing: 'implausible' };
  const { counts, fullScale } = sample;
  // Towards the thermistor's own rail it is shorted; towards the other one it, or its wire, is open.
  const low = divider.thermistorSide === 'low';
  if (counts < railCounts) return { missing: low ? 'short' : 'open' };
  if (counts > fullScale - railCounts) return { missing: low ? 'open' : 'short-to-supply' };
  return { signal: { raw: dividerOhms({ counts, fullScale }, divider), rawUnit: 'ohm' } };
};

/** The fixed resistor of a divider: 1 % metal film, rectangular. */
const resistorTolerance = 0.01;

/**
 * No engine room, sea or elbow is colder, and no thermistor on an elbow lives to be hotter: a probe that says so is
 * broken or wired wrong. Common practice, no source; wide enough for a hard winter and a burnt elbow.
 */
const coldestC = -30;
const hottestC = 200;

/** The part of a thermometer that both kinds of divider share. */
export const dividerMeter = {
  quantity: 'temperature',
  inputUncertaintyC(divider: Divider, { raw }: Signal, sample?: Sample): number {
    const fromResistor =
      (Math.abs(thermistorSlopeCPerOhm(divider.thermistor, raw)) * raw * resistorTolerance) / Math.sqrt(3);
    if (sample?.kind !== 'counts') return fromResistor;
    const perCount = degreesPerCount(raw, sample.fullScale, divider, divider.thermistor);
    return Math.hypot(fromResistor, perCount * countUncertainty(sample));
  },
  /** Through a wet connector an open thermistor still passes a little: very cold is open, very hot is shorted. */
  implausible(temperatureC: number): MissingReason | undefined {
    if (temperatureC < coldestC) return 'open';
    return temperatureC > hottestC ? 'short' : undefined;
  },
  /** A resistance no thermistor has is a wire: very large is open, very small is shorted. */
  outsideCurve: (_: Signal, side: 'below' | 'above' | 'neither'): MissingReason =>
    side === 'below' ? 'open' : 'short',
} as const;

export const dividerWords: FaultWords = {
  open: [
    'No current flows through the thermistor: its circuit is open, or its signal wire touches the 5 V wire.',
    'Look for a broken wire or a connector half out. Unplugged, the thermistor measures about its R25 at room temperature; if it does, look where signal and 5 V could touch.',
  ],
  short: [
    'The pin is at the end of the scale where a thermistor would be hotter than it can live.',
    'Look for two bare wires that touch, or a signal wire chafed through to ground or to the engine block.',
  ],
  'short-to-supply': [
    'The pin is at the supply voltage.',
    'Look for the signal wire touching the 5 V wire, or a thermistor whose two wires touch.',
  ],
};

/** Parts within their tolerance agree within 3 C on a cold boat; a wrong resistor of the next decade is 40 C off. */
const wrongResistorShare = 1.35;

/** On a cold boat every thermistor reads alike; one that does not has another resistor than its kit file says. */
export const wrongResistor = (divider: Divider, { raw }: Signal, coldBoatC?: number): Fault | undefined => {
  if (coldBoatC === undefined) return undefined;
  const ratio = thermistorOhms(divider.thermistor, coldBoatC) / raw;
  if (ratio < wrongResistorShare && ratio > 1 / wrongResistorShare) return undefined;
  const fitting = Number((divider.resistorOhms * ratio).toPrecision(2));
  return {
    fault: 'wrong-resistor',
    message: `On a cold boat of about ${coldBoatC.toFixed(0)} C it would be right with a resistor of about ${fitting} ohm; the kit file says ${divider.resistorOhms}.`,
    check:
      'Read the colour rings of the divider resistor, or measure it with the probe unplugged, and compare the thermistor with its curve in the kit file.',
  };
};
