import { z } from 'zod';
import { ThermometryError } from '../errors.js';
import { platinumTemperatureC, platinumToleranceC } from '../platinum/law.js';
import { thermistorLaw } from '../thermistor/law-schema.js';
import { thermistorTemperatureC, zeroCelsiusK } from '../thermistor/laws.js';
import { thermocoupleTypes } from '../thermocouple/reference-functions.js';
import { toleranceLimitC } from '../thermocouple/tolerance.js';
import { hotJunctionC } from './junctions.js';
import type { ElectricalSignal, UncertainTemperature } from './signal.js';

const schemas = {
  thermistor: z.strictObject({ kind: z.literal('thermistor'), law: thermistorLaw }),
  /** Pt100, Pt1000: ohms at 0 C and the class of IEC 60751. */
  platinum: z.strictObject({
    kind: z.literal('platinum'),
    r0Ohms: z.number().positive(),
    grade: z.enum(['AA', 'A', 'B']),
  }),
  /** EMF and cold junction from the amplifier chip. */
  thermocouple: z.strictObject({
    kind: z.literal('thermocouple'),
    type: z.enum(thermocoupleTypes),
  }),
  /** Type K behind an AD8495; `boardC` is used when the chip's own temperature is not measured. */
  ad8495: z.strictObject({
    kind: z.literal('ad8495'),
    referenceVolts: z.number(),
    boardC: z.number().optional(),
  }),
} as const;

type SensorName = keyof typeof schemas;
type SensorOf = { readonly [K in SensorName]: Readonly<z.infer<(typeof schemas)[K]>> };

/** What turns heat into an electrical quantity, as its datasheet describes it and a certificate keeps it. */
export type Sensor = SensorOf[SensorName];
export const sensorSchema = z.discriminatedUnion('kind', [
  schemas.thermistor,
  schemas.platinum,
  schemas.thermocouple,
  schemas.ad8495,
]);

/** All that depends on the kind of a sensor, but for what changes between bath and engine room (`model/`). */
type SensorKind<S> = {
  /** The unit of its signal. */
  readonly unit: ElectricalSignal['rawUnit'];
  /** What such a probe drifts in a year, one standard deviation, before anything was seen of this one (common practice, no source). */
  readonly driftCPerYear: number;
  /** What a certificate and a kit must agree on: `Pt1000`, `type K`. */
  readonly name: (sensor: S) => string;
  /** By the law alone. Throws as the laws do. */
  readonly temperatureC: (sensor: S, signal: ElectricalSignal) => number;
  /** Limits of an uncalibrated part at a temperature, each as a half-width. */
  readonly limitsC: (sensor: S, temperatureC: number) => readonly number[];
};

const kinds: { readonly [K in SensorName]: SensorKind<SensorOf[K]> } = {
  thermistor: {
    unit: 'ohm',
    driftCPerYear: 0.1,
    name: () => 'a thermistor',
    temperatureC: ({ law }, { raw }) => thermistorTemperatureC(law, raw),
    // 5 % in resistance and 1 % in beta: dT = T^2/beta dlnR and T^2 (1/T - 1/298.15 K) dbeta/beta; 3977 K for every NTC of this size.
    limitsC(_, temperatureC) {
      const kelvin = temperatureC + zeroCelsiusK;
      return [
        ((kelvin * kelvin) / 3977) * 0.05,
        kelvin * kelvin * Math.abs(1 / kelvin - 1 / (zeroCelsiusK + 25)) * 0.01,
      ];
    },
  },
  platinum: {
    unit: 'ohm',
    driftCPerYear: 0.05,
    name: ({ r0Ohms }) => `Pt${r0Ohms}`,
    temperatureC: ({ r0Ohms }, { raw }) => platinumTemperatureC(r0Ohms, raw),
    limitsC: ({ grade }, temperatureC) => [platinumToleranceC(grade, temperatureC)],
  },
  // Wire of IEC class 2, and a cold junction within 1 C (MCP9601 datasheet).
  thermocouple: {
    unit: 'microvolt',
    driftCPerYear: 1,
    name: ({ type }) => `type ${type}`,
    temperatureC: hotJunctionC,
    limitsC: ({ type }, temperatureC) => [toleranceLimitC(type, 'iec-2', temperatureC), 1],
  },
  // Wire of IEC class 2, an amplifier within 3 C and its board within 20 C of 25 C (0.05 C per C).
  ad8495: {
    unit: 'volt',
    driftCPerYear: 1,
    name: () => 'an AD8495',
    temperatureC: hotJunctionC,
    limitsC: (_, temperatureC) => [toleranceLimitC('K', 'iec-2', temperatureC), 3, 20 * 0.05],
  },
};

/** The descriptor of a sensor. The map holds each under its own kind, which is what makes the cast right. */
const kindOf = (sensor: Sensor) => kinds[sensor.kind] as SensorKind<Sensor>;

export const unitOf = (sensor: Sensor) => kindOf(sensor).unit;
export const usualDriftCPerYear = (sensor: Sensor) => kindOf(sensor).driftCPerYear;
export const sensorName = (sensor: Sensor) => kindOf(sensor).name(sensor);

/** Throws when a signal has another unit than the sensor's. */
export function checkUnit(sensor: Sensor, signal: ElectricalSignal): void {
  if (signal.rawUnit !== unitOf(sensor))
    throw new ThermometryError(
      'not-physical',
      `A ${sensor.kind} reads in ${unitOf(sensor)}, not ${signal.rawUnit}. Check the channel of this probe.`,
    );
}

/** A reading by the law of the sensor alone. Throws as the laws do. */
export function nominalTemperatureC(sensor: Sensor, signal: ElectricalSignal): number {
  checkUnit(sensor, signal);
  return kindOf(sensor).temperatureC(sensor, signal);
}

/**
 * A reading by the datasheet curve alone, with the uncertainty of an uncalibrated part: all limits taken as rectangular.
 * Throws as the curves do.
 */
export function nominalReading(sensor: Sensor, signal: ElectricalSignal): UncertainTemperature {
  const temperatureC = nominalTemperatureC(sensor, signal);
  const limitC = Math.hypot(...kindOf(sensor).limitsC(sensor, temperatureC));
  return { temperatureC, standardUncertaintyC: limitC / Math.sqrt(3) };
}
