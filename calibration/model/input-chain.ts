import { z } from 'zod';
import { type Divider, dividerSchema } from '../thermistor/divider.js';
import { type ToleranceClass, toleranceClass } from '../thermocouple/tolerance.js';

/** A converter on a divider. `fullScale` counts span the supply. */
const dividerChain = z.strictObject({
  kind: z.literal('divider'),
  divider: dividerSchema,
  supplyVolts: z.number().positive(),
  fullScale: z.number().positive(),
  /** Standard deviation of the converter's integral non-linearity, counts. */
  bendCounts: z.number().min(0),
  /** Single conversions averaged in one reading; noise between them smooths the steps of the converter. */
  conversionsPerReading: z.number().positive(),
  /** Standard deviations of offset and of gain (at full scale), counts. */
  offsetCounts: z.number().min(0).optional(),
  gainCounts: z.number().min(0).optional(),
  /** Limit of the fixed resistor's temperature coefficient, 1/K. */
  resistorPerC: z.number().min(0).optional(),
  /** How far the supply may be from what is believed, as a share; 0 when the converter measures against it. */
  supplyShare: z.number().min(0).optional(),
});
export type DividerChain = Readonly<z.infer<typeof dividerChain>>;

/** An amplifier on a thermocouple. Limits are half-widths. */
const amplifierChain = z.strictObject({
  kind: z.literal('amplifier'),
  name: z.string(),
  stepMicrovolts: z.number().positive(),
  /** How far the cold junction's error may change between the day of calibration and a hot engine room. */
  coldJunctionLimitC: z.number().min(0),
  /** How far the gain may change, as a share. */
  gainLimit: z.number().min(0),
  wire: toleranceClass,
  conversionsPerReading: z.number().positive(),
  /** Standard deviations before any calibration: offset at the input, and gain as a share. */
  offsetMicrovolts: z.number().min(0).optional(),
  gainShare: z.number().min(0).optional(),
});
export type AmplifierChain = Readonly<z.infer<typeof amplifierChain>>;

/** What lies between the sensor and the number, and what it may add. */
export const chainSchema = z.discriminatedUnion('kind', [dividerChain, amplifierChain]);
export type InputChain = DividerChain | AmplifierChain;

/** The nonlinearity of a converter stays alike over this share of its scale. A judgement. */
const alikeWithinShare = 0.15;

/** Limit of the heat a thermistor makes in use beyond what it makes in a stirred bath: power over this. */
export const dissipationDifferenceWattsPerC = 0.01;

/**
 * Largest error the steps of a converter leave, in steps. Readings that all are the same can hide half a step; noise between
 * conversions makes their average see through the steps, and what is left falls as exp(-2 pi^2 s^2).
 */
export function hiddenSteps(scatterSteps: number, conversionsPerReading: number): number {
  const single = Math.sqrt(Math.max(0, scatterSteps ** 2 * conversionsPerReading - 1 / 12));
  return Math.min(0.5, Math.exp(-2 * Math.PI ** 2 * single ** 2) / Math.PI + (single < 0.15 ? 0.2 : 0));
}

/** How much the nonlinearity of the converter at two places (shares of full scale) has in common, 0 to 1. */
export const nonlinearityCorrelation = (shareA: number, shareB: number): number =>
  Math.exp(-0.5 * ((shareA - shareB) / alikeWithinShare) ** 2);

/** Film resistors of 1 % are sold with 50 or 100 ppm/K (common practice, no source). */
const resistorPerC = 100e-6;

/**
 * An Arduino-class board's own converter: 10 bits, ten conversions a second. Offset and gain 2 LSB, non-linearity 0.5 LSB
 * (ATmega328P datasheet, typical; from memory). Typical is not a limit: one and a half is taken as one standard deviation.
 */
export const boardDivider = (divider: Divider): DividerChain => ({
  kind: 'divider',
  divider,
  supplyVolts: 5,
  fullScale: 1024,
  bendCounts: 0.4,
  offsetCounts: 1.5,
  gainCounts: 1.5,
  resistorPerC,
  conversionsPerReading: 10,
});

/**
 * An ADS1115 at its 4.096 V or, for 5 V supplies, 6.144 V range; non-linearity 1 LSB, offset 3 LSB and gain 0.15 % at
 * most (datasheet SBAS444D). Unless it measures the divider's supply too, the supply is only believed: a USB port keeps
 * within 5 % (USB 2.0, 7.2.2).
 */
export const ads1115Divider = (
  divider: Divider,
  supplyVolts: number,
  supplyMeasured = false,
): DividerChain => ({
  kind: 'divider',
  divider,
  supplyVolts,
  fullScale: supplyVolts / (supplyVolts > 4.096 ? 187.5e-6 : 125e-6),
  bendCounts: 1 / Math.sqrt(3),
  offsetCounts: 3 / Math.sqrt(3),
  gainCounts: (0.0015 / Math.sqrt(3)) * (supplyVolts / (supplyVolts > 4.096 ? 187.5e-6 : 125e-6)),
  resistorPerC,
  supplyShare: supplyMeasured ? 0 : 0.05,
  conversionsPerReading: 1,
});

/** Offset and gain of an amplifier that was not trimmed, standard deviations (judgement from the datasheets' limits). */
const untrimmed = { offsetMicrovolts: 6, gainShare: 0.002 } as const;

/**
 * MCP9600/MCP9601: 2 uV steps; accuracy with the cold junction typically 0.5 C, at most 1.5 C (datasheet DS20005426). The
 * limit is taken from the maximum: nothing says how a chip's error moves between the dock and a hot engine room.
 */
export const mcp960xChain = (wire: ToleranceClass = 'iec-2'): AmplifierChain => ({
  kind: 'amplifier',
  name: 'MCP960x',
  stepMicrovolts: 2,
  coldJunctionLimitC: 1.5,
  gainLimit: 0.0005,
  ...untrimmed,
  wire,
  conversionsPerReading: 1,
});

/**
 * AD8495 on a converter of `stepVolts`: its error follows its own temperature by up to 0.05 C per C (grade A), taken
 * over 20 C between dock and engine room; gain 0.1 % more, 3 C of offset before calibration (from memory of the datasheet).
 * `supplyShare` is the tolerance of a supply that the converter measures against and that is not measured itself; two fifths of it may
 * change between table and engine room (a judgement).
 */
export const ad8495Chain = (
  stepVolts: number,
  wire: ToleranceClass = 'iec-2',
  supplyShare = 0,
): AmplifierChain => ({
  kind: 'amplifier',
  name: 'AD8495',
  stepMicrovolts: (stepVolts / 122.4) * 1e6,
  coldJunctionLimitC: 1,
  gainLimit: 0.001 + 0.4 * supplyShare,
  offsetMicrovolts: (3 * 40.4) / Math.sqrt(3),
  gainShare: Math.hypot(0.002, supplyShare / Math.sqrt(3)),
  wire,
  conversionsPerReading: 10,
});

/** A bare thermocouple on an ADS1115 (7.8 uV steps, offset 3 LSB, gain 0.15 % and 40 ppm/K over 30 K: SBAS444D) whose cold junction a thermistor measures. */
export const ads1115ThermocoupleChain = (wire: ToleranceClass = 'iec-2'): AmplifierChain => ({
  kind: 'amplifier',
  name: 'ADS1115',
  stepMicrovolts: 7.8125,
  coldJunctionLimitC: 1,
  gainLimit: 0.0012,
  offsetMicrovolts: (3 * 7.8125) / Math.sqrt(3),
  gainShare: 0.002,
  wire,
  conversionsPerReading: 1,
});
