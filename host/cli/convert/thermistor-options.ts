import type { ThermistorLaw } from '../../../calibration/index.js';
import { UsageError } from '../exit.js';
import { textOption } from '../usual-options.js';
import { numberFrom } from './numbers.js';

/** The ways to describe a thermistor on the command line. */
export const thermistorOptions = {
  'steinhart-hart': textOption('A,B,C of 1/T = A + B ln R + C (ln R)^3, R in ohms, T in kelvin'),
  'four-terms': textOption(
    'A,B,C,D,R of 1/T = A + B l + C l^2 + D l^3, l = ln(ohms / R), as makers print it',
  ),
  'r25-ohms': textOption('Resistance at 25 C, with --beta-k'),
  'beta-k': textOption('Beta in kelvin, with --r25-ohms'),
} as const;

type Given = {
  readonly steinhartHart?: string | undefined;
  readonly fourTerms?: string | undefined;
  readonly r25Ohms?: string | undefined;
  readonly betaK?: string | undefined;
};

/** The law the options describe, or undefined when they describe none. */
export function thermistorFrom(given: Given): ThermistorLaw | undefined {
  const beta = given.r25Ohms !== undefined || given.betaK !== undefined;
  if (Number(beta) + Number(given.steinhartHart !== undefined) + Number(given.fourTerms !== undefined) > 1)
    throw new UsageError(
      'Describe the thermistor once: --steinhart-hart, --four-terms, or --r25-ohms with --beta-k.',
    );
  if (given.steinhartHart !== undefined) {
    const [a, b, c] = list(given.steinhartHart, 3, '--steinhart-hart') as [number, number, number];
    return { law: 'steinhart-hart', a, b, c };
  }
  if (given.fourTerms !== undefined) {
    const [a, b, c, d, referenceOhms] = list(given.fourTerms, 5, '--four-terms') as [
      number,
      number,
      number,
      number,
      number,
    ];
    return { law: 'steinhart-hart-4', a, b, c, d, referenceOhms: positive(referenceOhms, '--four-terms R') };
  }
  if (!beta) return undefined;
  if (given.r25Ohms === undefined || given.betaK === undefined)
    throw new UsageError('--r25-ohms and --beta-k belong together; give both.');
  return {
    law: 'beta',
    r25Ohms: positive(numberFrom(given.r25Ohms, '--r25-ohms'), '--r25-ohms'),
    betaK: positive(numberFrom(given.betaK, '--beta-k'), '--beta-k'),
  };
}

/** The law, or an error that says how to describe one. */
export function requiredThermistor(given: Given): ThermistorLaw {
  const law = thermistorFrom(given);
  if (law) return law;
  throw new UsageError(
    'Say which thermistor: --steinhart-hart A,B,C, --four-terms A,B,C,D,R, or --r25-ohms with --beta-k.',
  );
}

function list(text: string, count: number, option: string): readonly number[] {
  const numbers = text.split(',').map((part) => numberFrom(part, option));
  if (numbers.length === count) return numbers;
  throw new UsageError(
    `${option} takes ${count} numbers with commas between; "${text}" has ${numbers.length}.`,
  );
}

function positive(value: number, option: string): number {
  if (value > 0) return value;
  throw new UsageError(`${option} is ${value}; it must be above zero.`);
}
