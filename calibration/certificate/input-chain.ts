import { type Divider, degreesPerCount, dividerCounts } from '../thermistor/divider.js';
import type { ThermistorLaw } from '../thermistor/laws.js';
import type { ToleranceClass } from '../thermocouple/tolerance.js';

/** A converter on a divider. `fullScale` counts span the supply. */
export type DividerChain = {
  readonly kind: 'divider';
  readonly divider: Divider;
  readonly supplyVolts: number;
  readonly fullScale: number;
  /** Standard deviation of the converter's integral non-linearity, counts. */
  readonly bendCounts: number;
  /** Single conversions averaged in one reading; noise between them smooths the steps of the converter. */
  readonly conversionsPerReading: number;
};

/** An amplifier on a thermocouple. Limits are half-widths. */
export type AmplifierChain = {
  readonly kind: 'amplifier';
  readonly name: string;
  readonly stepMicrovolts: number;
  /** How far the cold junction's error may change between the day of calibration and a hot engine room. */
  readonly coldJunctionLimitC: number;
  /** How far the gain may change, as a share. */
  readonly gainLimit: number;
  readonly wire: ToleranceClass;
  readonly conversionsPerReading: number;
};

/** What stands between the sensor and the number, and what it may add. */
export type InputChain = DividerChain | AmplifierChain;

/** The bend of a converter stays alike over this share of its scale. A judgement. */
const alikeWithinShare = 0.15;

/** Limit of the heat a thermistor makes in use beyond what it makes in a stirred bath: power over this. */
export const dissipationDifferenceWattsPerC = 0.01;

/**
 * Largest error the steps of a converter leave, in steps. Readings that stand still can hide half a step; noise between
 * conversions makes their average see through the steps, and what is left falls as exp(-2 pi^2 s^2).
 */
export function hiddenSteps(scatterSteps: number, conversionsPerReading: number): number {
  const single = Math.sqrt(Math.max(0, scatterSteps ** 2 * conversionsPerReading - 1 / 12));
  return Math.min(0.5, Math.exp(-2 * Math.PI ** 2 * single ** 2) / Math.PI + (single < 0.15 ? 0.2 : 0));
}

/** How much the bend of the converter at two places (shares of full scale) has in common, 0 to 1. */
export const bendLikeness = (shareA: number, shareB: number): number =>
  Math.exp(-0.5 * ((shareA - shareB) / alikeWithinShare) ** 2);

/** Where on the scale a resistance lies, and what one count there is in degrees. */
export function placeOnScale(
  ohms: number,
  chain: DividerChain,
  law: ThermistorLaw,
): { readonly share: number; readonly cPerCount: number } {
  return {
    share: dividerCounts(ohms, 1, chain.divider),
    cPerCount: degreesPerCount(ohms, chain.fullScale, chain.divider, law),
  };
}

/** An Arduino-class board's own converter: 10 bits, non-linearity 0.5 LSB (ATmega328P datasheet), ten conversions a second. */
export const boardDivider = (divider: Divider, supplyVolts = 5): DividerChain => ({
  kind: 'divider',
  divider,
  supplyVolts,
  fullScale: 1024,
  bendCounts: 0.5 / Math.sqrt(3),
  conversionsPerReading: 10,
});

/** An ADS1115 at its 4.096 V or, for 5 V supplies, 6.144 V range; non-linearity 1 LSB (datasheet SBAS444D). */
export const ads1115Divider = (divider: Divider, supplyVolts: number): DividerChain => ({
  kind: 'divider',
  divider,
  supplyVolts,
  fullScale: supplyVolts / (supplyVolts > 4.096 ? 187.5e-6 : 125e-6),
  bendCounts: 1 / Math.sqrt(3),
  conversionsPerReading: 1,
});

/** MCP9600/MCP9601: 2 uV steps; cold junction typically within 0.5 C over its range (datasheet DS20005426). */
export const mcp960xChain = (wire: ToleranceClass = 'iec-2'): AmplifierChain => ({
  kind: 'amplifier',
  name: 'MCP960x',
  stepMicrovolts: 2,
  coldJunctionLimitC: 0.5,
  gainLimit: 0.0005,
  wire,
  conversionsPerReading: 1,
});

/**
 * AD8495 on a converter of `stepVolts`: its error follows its own temperature by up to 0.05 C per C (grade A), taken
 * over 20 C between dock and engine room; gain 0.1 % more (both from memory of the datasheet).
 */
export const ad8495Chain = (stepVolts: number, wire: ToleranceClass = 'iec-2'): AmplifierChain => ({
  kind: 'amplifier',
  name: 'AD8495',
  stepMicrovolts: (stepVolts / 122.4) * 1e6,
  coldJunctionLimitC: 1,
  gainLimit: 0.001,
  wire,
  conversionsPerReading: 10,
});

/** A bare thermocouple on an ADS1115 (7.8 uV steps, gain 0.15 %) whose cold junction a thermistor measures. */
export const ads1115ThermocoupleChain = (wire: ToleranceClass = 'iec-2'): AmplifierChain => ({
  kind: 'amplifier',
  name: 'ADS1115',
  stepMicrovolts: 7.8125,
  coldJunctionLimitC: 0.5,
  gainLimit: 0.0005,
  wire,
  conversionsPerReading: 1,
});
