import { e24Ohms, nearestE24Ohms } from './e24.js';
import { elementOf } from './element.js';
import { type NtcCircuit, ntcPoint } from './ntc-budget.js';

/** What a divider must do. */
export type DividerWish = {
  /** Where the answer must be best: the alarm, or the middle of the range for a probe without one. */
  readonly bestAtC: number;
  /** Coldest and hottest that must still differ from a broken or shorted wire. */
  readonly fromC: number;
  readonly toC: number;
};

export type DividerChoice = {
  /** E24 value with the least circuit uncertainty at `bestAtC`. */
  readonly resistorOhms: number;
  /** E24 value with the most counts per degree there; hotter, since it feeds the thermistor more. */
  readonly mostCountsOhms: number;
  /** Whether `resistorOhms` was held back so that the ends of the range stay clear of the rails. */
  readonly heldByRange: boolean;
};

/** Within this share of full scale from a rail a reading is taken for a broken or a shorted wire. */
const railShare = 0.01;

const clearOfRails = (circuit: NtcCircuit, resistorOhms: number, temperatureC: number): boolean => {
  const share = ntcPoint(circuit, resistorOhms, temperatureC).counts / circuit.converter.fullScaleCounts;
  return share > railShare && share < 1 - railShare;
};

/**
 * The divider resistor for a thermistor. Counts per degree are most when the resistor equals the thermistor, but then
 * so is the heating; the best value weighs both. Throws RangeError when no E24 value keeps the range off the rails.
 */
export const bestResistor = (circuit: NtcCircuit, wanted: DividerWish): DividerChoice => {
  const uncertaintyC = (ohms: number) => ntcPoint(circuit, ohms, wanted.bestAtC).circuitUncertaintyC;
  const best = (values: readonly number[]) =>
    values.reduce((a, b) => (uncertaintyC(b) < uncertaintyC(a) ? b : a));
  const usable = e24Ohms.filter(
    (ohms) => clearOfRails(circuit, ohms, wanted.fromC) && clearOfRails(circuit, ohms, wanted.toC),
  );
  if (usable.length === 0)
    throw new RangeError(
      `No divider resistor keeps ${wanted.fromC} to ${wanted.toC} C off the rails with this part; narrow the range or take one of another value`,
    );
  const resistorOhms = best(usable);
  return {
    resistorOhms,
    mostCountsOhms: nearestE24Ohms(elementOf(circuit.part).ohmsAt(wanted.bestAtC)),
    heldByRange: resistorOhms !== best(e24Ohms),
  };
};
