import type { mcp960xChain, ThermocoupleType, ToleranceClass } from '../../calibration/index.js';
import type { MissingReason, Signal } from '../reading/reading.js';
import type { Fault, FaultWords } from './fault.js';

const coldestC = -40;
/** Exhaust gas of a marine diesel stays below about 800 C; common practice, no source. */
const hottestC = 1000;

/**
 * A probe in gas may be colder than its terminals in a warm engine room, by ten or twenty degrees; by more than this its
 * wires are swapped. Common practice, no source. As a voltage: 40 K of type K, and more of the other base-metal types.
 */
const reversedBelowTerminalsC = 40;
const reversedBelowMicrovolts = -1_600;

/** Type K near room temperature; the other types of our kits are within a factor of two. */
export const microvoltsPerC = 41;

/** The part of a thermometer that every thermocouple shares. */
export const thermocoupleMeter = {
  quantity: 'temperature',
  implausible(temperatureC: number, coldJunctionC?: number): MissingReason | undefined {
    if (coldJunctionC !== undefined && coldJunctionC - temperatureC > reversedBelowTerminalsC)
      return 'reversed';
    return temperatureC < coldestC || temperatureC > hottestC ? 'implausible' : undefined;
  },
  outsideCurve: ({ raw, rawUnit }: Signal): MissingReason =>
    rawUnit === 'microvolt' && raw < reversedBelowMicrovolts ? 'reversed' : 'implausible',
} as const;

/** What a calibration must know of a thermocouple whose voltage is read through `chainOf`. */
export const calibratedThermocouple =
  (chainOf: typeof mcp960xChain) =>
  ({ thermocouple: type }: { readonly thermocouple: ThermocoupleType }, wire?: ToleranceClass) => ({
    sensor: { kind: 'thermocouple', type } as const,
    chain: chainOf(wire),
  });

export const thermocoupleWords: FaultWords = {
  open: [
    'The thermocouple is open, or it gives less than this type can give.',
    'Measure across it with its plug out: a few ohm. If it is whole and reads well while cold, its two wires are swapped.',
  ],
  short: [
    'The thermocouple touches ground or the supply.',
    'Use a probe with an insulated junction, or find where its wire is chafed.',
  ],
  'out-of-range': [
    'The voltage is beyond what this type can give.',
    'Look for an open thermocouple, and for another letter type in the kit than on its plug.',
  ],
};

/** A hot exhaust cannot be colder than the terminals it is measured from; less than this is the chip's own error. */
const reversedBelowC = 5;

export const reversedThermocouple = (_: unknown, signal: Signal): Fault | undefined => {
  if (signal.coldJunctionC === undefined) return undefined;
  // 39 uV/C is type K near room temperature; the sign is what matters.
  const belowTerminalsC = -signal.raw / 39;
  if (belowTerminalsC < reversedBelowC) return undefined;
  return {
    fault: 'reversed',
    message: `It reads ${belowTerminalsC.toFixed(0)} K below its own terminals, which an exhaust cannot be: plus and minus are swapped.`,
    check: 'Swap its two wires. Then warm the tip in your hand: the reading must rise.',
  };
};
