import { ThermometryError } from '../errors.js';
import { type PlatinumClass, platinumTemperatureC, platinumToleranceC } from '../platinum/law.js';
import { type ThermistorLaw, thermistorTemperatureC, zeroCelsiusK } from '../thermistor/laws.js';
import { thermocoupleCurve } from '../thermocouple/curve.js';
import { ad8495EmfMicrovolts } from '../thermocouple/linear-amplifiers.js';
import type { ThermocoupleType } from '../thermocouple/reference-functions.js';
import { toleranceLimitC } from '../thermocouple/tolerance.js';

/** What turns heat into an electrical quantity, as its datasheet describes it. */
export type Sensor =
  | { readonly kind: 'thermistor'; readonly law: ThermistorLaw }
  /** Pt100, Pt1000: ohms at 0 C and the class of IEC 60751. */
  | { readonly kind: 'platinum'; readonly r0Ohms: number; readonly grade: PlatinumClass }
  /** EMF and cold junction from the amplifier chip. */
  | { readonly kind: 'thermocouple'; readonly type: ThermocoupleType }
  /** Type K behind an AD8495; `boardC` is used when the chip's own temperature is not measured. */
  | { readonly kind: 'ad8495'; readonly referenceVolts: number; readonly boardC?: number | undefined };

/** The electrical quantity of one reading. Ohms for a thermistor, microvolts for a thermocouple, volts for an AD8495. */
export type ElectricalSignal = {
  readonly raw: number;
  readonly rawUnit: 'ohm' | 'microvolt' | 'volt';
  readonly coldJunctionC?: number | undefined;
};

/** A temperature and its standard uncertainty (k = 1). */
export type UncertainTemperature = { readonly temperatureC: number; readonly standardUncertaintyC: number };

/** Usual room temperature of a board without a sensor of its own, and how far it may be off (engine room 5 to 55 C). */
const usualBoardC = 25;

/** The unit of the signal of each kind of sensor. */
export const unitOf = {
  thermistor: 'ohm',
  platinum: 'ohm',
  thermocouple: 'microvolt',
  ad8495: 'volt',
} as const;

/** Throws when a signal comes in a unit the sensor does not speak. */
export function checkUnit(sensor: Sensor, signal: ElectricalSignal): void {
  if (signal.rawUnit !== unitOf[sensor.kind])
    throw new ThermometryError(
      'not-physical',
      `A ${sensor.kind} reads in ${unitOf[sensor.kind]}, not ${signal.rawUnit}. Check the channel of this probe.`,
    );
}

type ThermocoupleSensor = Extract<Sensor, { kind: 'thermocouple' | 'ad8495' }>;

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

/** A reading by the law of the sensor alone. Throws as the laws do. */
export function nominalTemperatureC(sensor: Sensor, signal: ElectricalSignal): number {
  checkUnit(sensor, signal);
  if (sensor.kind === 'thermistor') return thermistorTemperatureC(sensor.law, signal.raw);
  if (sensor.kind === 'platinum') return platinumTemperatureC(sensor.r0Ohms, signal.raw);
  const { betweenMicrovolts, coldMicrovolts } = junctionEmfs(sensor, signal);
  return thermocoupleCurve(typeOf(sensor)).temperatureC(betweenMicrovolts + coldMicrovolts);
}

/**
 * A reading by the datasheet curve alone, with the uncertainty of an uncalibrated part: a thermistor of 5 % in
 * resistance and 1 % in beta, wire of IEC class 2, a cold junction within 1 C (MCP9601 datasheet), an AD8495 within
 * 3 C and its board within 20 C of 25 C (0.05 C per C). All limits taken as rectangular. Throws as the curves do.
 */
export function nominalReading(sensor: Sensor, signal: ElectricalSignal): UncertainTemperature {
  const temperatureC = nominalTemperatureC(sensor, signal);
  if (sensor.kind === 'thermistor') {
    const kelvin = temperatureC + zeroCelsiusK;
    // dT = T^2/beta dlnR and T^2 (1/T - 1/298.15 K) dbeta/beta; 3977 K is taken for every NTC of this size.
    const fromResistance = ((kelvin * kelvin) / 3977) * 0.05;
    const fromBeta = kelvin * kelvin * Math.abs(1 / kelvin - 1 / (zeroCelsiusK + 25)) * 0.01;
    return {
      temperatureC,
      standardUncertaintyC: Math.hypot(fromResistance, fromBeta) / Math.sqrt(3),
    };
  }
  if (sensor.kind === 'platinum')
    return {
      temperatureC,
      standardUncertaintyC: platinumToleranceC(sensor.grade, temperatureC) / Math.sqrt(3),
    };
  const type = typeOf(sensor);
  const wireC = toleranceLimitC(type, 'iec-2', temperatureC);
  const amplifierC = sensor.kind === 'ad8495' ? Math.hypot(3, 20 * 0.05) : 1;
  return { temperatureC, standardUncertaintyC: Math.hypot(wireC, amplifierC) / Math.sqrt(3) };
}
