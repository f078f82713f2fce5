import { finite } from '../errors.js';
import { thermocoupleCurve } from './curve.js';

/** AD8495, volts per volt. Analog Devices AD8494/5/6/7 datasheet rev C and application note AN-1087. */
const gain = 122.4;
/** AD8495 cold-junction compensation, volts per C of its own temperature. Same datasheet. */
const compensationVoltsPerC = 0.005;

export type Ad8495Output = {
  readonly volts: number;
  /** Temperature of the chip, which is its cold junction; 25 C when it is not measured. */
  readonly boardC: number;
  /** Voltage at the REF pin, which the output rides on. */
  readonly referenceVolts: number;
};

/**
 * EMF of a type K junction against 0 C, as an AD8495 saw it. The amplifier multiplies the EMF by a constant and adds
 * 5 mV per C of its own temperature:  Vout = Vref + 122.4 (E(hot) - E(board)) + 5 mV/C x board.
 * This form, from the application note, is solved for E(hot). Throws when `boardC` leaves type K.
 */
export function ad8495EmfMicrovolts({ volts, boardC, referenceVolts }: Ad8495Output): number {
  finite(volts, 'volts');
  finite(referenceVolts, 'referenceVolts');
  const amplified = volts - referenceVolts - compensationVoltsPerC * boardC;
  return (amplified / gain) * 1e6 + thermocoupleCurve('K').emfMicrovolts(boardC);
}

/** Hot-junction temperature of an AD8495, corrected for the curve of type K. Throws outside type K. */
export function ad8495TemperatureC(output: Ad8495Output): number {
  return thermocoupleCurve('K').temperatureC(ad8495EmfMicrovolts(output));
}

/** The output of an ideal AD8495, for planning and for the bench. Throws outside type K. */
export function ad8495Volts(input: {
  readonly temperatureC: number;
  readonly boardC: number;
  readonly referenceVolts: number;
}): number {
  const curve = thermocoupleCurve('K');
  const emfVolts = (curve.emfMicrovolts(input.temperatureC) - curve.emfMicrovolts(input.boardC)) * 1e-6;
  return input.referenceVolts + gain * emfVolts + compensationVoltsPerC * input.boardC;
}

/** MAX31855K, microvolts per C of its straight line. Maxim datasheet 19-5793 rev 5, type K column. */
const max31855MicrovoltsPerC = 41.276;

/**
 * True hot-junction temperature behind a MAX31855K, which treats the thermocouple as a straight line:
 * E = 41.276 uV/C x (reported - cold). Throws outside type K.
 */
export function max31855TemperatureC(input: {
  readonly reportedC: number;
  readonly coldJunctionC: number;
}): number {
  const curve = thermocoupleCurve('K');
  const measured = max31855MicrovoltsPerC * (finite(input.reportedC, 'reportedC') - input.coldJunctionC);
  return curve.temperatureC(measured + curve.emfMicrovolts(input.coldJunctionC));
}
