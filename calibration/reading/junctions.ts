import { ThermometryError } from '../errors.js';
import { thermocoupleCurve } from '../thermocouple/curve.js';
import { ad8495EmfMicrovolts } from '../thermocouple/linear-amplifiers.js';
import type { ThermocoupleType } from '../thermocouple/reference-functions.js';
import type { ElectricalSignal } from './signal.js';

/** Usual room temperature of a board without a sensor of its own, and how far it may be off (engine room 5 to 55 C). */
const usualBoardC = 25;

type ThermocoupleSensor =
  /** EMF and cold junction from the amplifier chip. */
  | { readonly kind: 'thermocouple'; readonly type: ThermocoupleType }
  /** Type K behind an AD8495; `boardC` is used when the chip's own temperature is not measured. */
  | { readonly kind: 'ad8495'; readonly referenceVolts: number; readonly boardC?: number | undefined };

/** The letter type behind a thermocouple sensor. */
export const typeOf = (sensor: ThermocoupleSensor): ThermocoupleType =>
  sensor.kind === 'ad8495' ? 'K' : sensor.type;

/**
 * The EMF between the two junctions as the amplifier saw it, and the EMF of its cold junction against 0 C; their sum
 * belongs to the hot junction. Throws when the cold junction is missing or outside the type.
 */
export function junctionEmfs(
  sensor: ThermocoupleSensor,
  signal: ElectricalSignal,
): { readonly betweenMicrovolts: number; readonly coldMicrovolts: number } {
  if (sensor.kind === 'ad8495') {
    const boardC = signal.coldJunctionC ?? sensor.boardC ?? usualBoardC;
    const hot = ad8495EmfMicrovolts({ volts: signal.raw, boardC, referenceVolts: sensor.referenceVolts });
    const coldMicrovolts = thermocoupleCurve('K').emfMicrovolts(boardC);
    return { betweenMicrovolts: hot - coldMicrovolts, coldMicrovolts };
  }
  if (signal.coldJunctionC === undefined)
    throw new ThermometryError(
      'not-a-number',
      'coldJunctionC is missing: a thermocouple needs the temperature of its cold junction.',
    );
  return {
    betweenMicrovolts: signal.raw,
    coldMicrovolts: thermocoupleCurve(sensor.type).emfMicrovolts(signal.coldJunctionC),
  };
}

/** The temperature of the hot junction. Throws as the curves do. */
export const hotJunctionC = (sensor: ThermocoupleSensor, signal: ElectricalSignal): number => {
  const { betweenMicrovolts, coldMicrovolts } = junctionEmfs(sensor, signal);
  return thermocoupleCurve(typeOf(sensor)).temperatureC(betweenMicrovolts + coldMicrovolts);
};
