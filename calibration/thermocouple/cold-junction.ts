import { thermocoupleCurve } from './curve.js';
import type { ThermocoupleType } from './reference-functions.js';

/**
 * Temperature of the hot junction from the measured EMF and the temperature of the cold junction.
 * The compensation adds EMFs, not degrees: E(hot) = measured + E(cold). Adding degrees is wrong by tens of C when hot.
 * Throws where either temperature leaves the type's range.
 */
export function hotJunctionC(input: {
  readonly type: ThermocoupleType;
  readonly emfMicrovolts: number;
  readonly coldJunctionC: number;
}): number {
  const curve = thermocoupleCurve(input.type);
  return curve.temperatureC(input.emfMicrovolts + curve.emfMicrovolts(input.coldJunctionC));
}

/** The EMF a voltmeter at the cold junction sees. Throws outside the type's range. */
export function measuredEmfMicrovolts(input: {
  readonly type: ThermocoupleType;
  readonly temperatureC: number;
  readonly coldJunctionC: number;
}): number {
  const curve = thermocoupleCurve(input.type);
  return curve.emfMicrovolts(input.temperatureC) - curve.emfMicrovolts(input.coldJunctionC);
}
