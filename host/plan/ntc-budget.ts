import {
  degreesPerCount,
  dividerCounts,
  selfHeatingC,
  type ThermistorLaw,
  thermistorOhms,
  thermistorSlopeCPerOhm,
} from '../../calibration/index.js';
import { type Converter, countsUncertainty } from './converter.js';

/** A thermistor as its datasheet gives it. */
type ThermistorPart = {
  readonly law: ThermistorLaw;
  readonly r25Ohms: number;
  readonly betaK: number;
  readonly r25TolerancePercent: number;
  readonly betaTolerancePercent: number;
  /** Milliwatts that raise it by one degree, as mounted. */
  readonly dissipationMwPerC: number;
};

export type NtcCircuit = {
  readonly part: ThermistorPart;
  readonly supplyVolts: number;
  readonly thermistorSide: 'low' | 'high';
  /** Both wires of the cable together. */
  readonly leadOhms: number;
  readonly resistorTolerancePercent: number;
  readonly converter: Converter;
};

/** One NTC channel at one temperature. All errors in degrees. */
export type NtcPoint = {
  readonly temperatureC: number;
  readonly ohms: number;
  readonly counts: number;
  readonly countsPerC: number;
  readonly cPerCount: number;
  readonly selfHeatingC: number;
  /** Reads low by this much while the cable's resistance is not subtracted. */
  readonly leadErrorC: number;
  /** Zero: the supply is also the reference and cancels. Listed so that it is not missed. */
  readonly supplyErrorC: 0;
  /** Standard uncertainty of the circuit alone: converter, fixed resistor, half the self-heating unknown. */
  readonly circuitUncertaintyC: number;
  /** Standard uncertainty with an uncalibrated part. */
  readonly asBoughtUncertaintyC: number;
  /** Standard uncertainty after a calibration in ice and boiling water with the very circuit of the boat. */
  readonly calibratedUncertaintyC: number;
};

const kelvin = (temperatureC: number) => temperatureC + 273.15;
const rectangular = (halfWidth: number) => halfWidth / Math.sqrt(3);

/**
 * What home-made fixed points and the bend of the curve between them leave over, standard uncertainty:
 * 0.1 C in an ice bath, 0.15 C in boiling water, 0.1 C for the curve's shape (common practice, no source).
 * The certificate of a real calibration replaces this guess.
 */
const calibrationLeftoverC = Math.hypot(0.1, 0.15, 0.1);

/** Throws ThermometryError where the thermistor has no resistance (below -100 or above 400 C). */
export const ntcPoint = (circuit: NtcCircuit, resistorOhms: number, temperatureC: number): NtcPoint => {
  const { part, converter, supplyVolts, leadOhms, thermistorSide } = circuit;
  const divider = { resistorOhms, thermistorSide, leadOhms };
  const ohms = thermistorOhms(part.law, temperatureC);
  const cPerCount = degreesPerCount(ohms, converter.fullScaleCounts, divider, part.law);
  const slopeCPerOhm = Math.abs(thermistorSlopeCPerOhm(part.law, ohms));
  const heating = selfHeatingC({
    ohms,
    supplyVolts,
    resistorOhms,
    dissipationWattsPerC: part.dissipationMwPerC / 1000,
  });
  const resistorC = slopeCPerOhm * ohms * (circuit.resistorTolerancePercent / 100);
  const circuitUncertaintyC = Math.hypot(
    cPerCount * countsUncertainty(converter),
    rectangular(resistorC),
    // The heat flow from probe to metal is known to a factor of two at best.
    rectangular(heating / 2),
  );
  const leadErrorC = slopeCPerOhm * leadOhms;
  const toleranceC = Math.hypot(
    (slopeCPerOhm * ohms * part.r25TolerancePercent) / 100,
    (kelvin(temperatureC) ** 2 *
      Math.abs(1 / kelvin(temperatureC) - 1 / kelvin(25)) *
      part.betaTolerancePercent) /
      100,
  );
  return {
    temperatureC,
    ohms,
    counts: dividerCounts(ohms, converter.fullScaleCounts, divider),
    countsPerC: 1 / cPerCount,
    cPerCount,
    selfHeatingC: heating,
    leadErrorC,
    supplyErrorC: 0,
    circuitUncertaintyC,
    asBoughtUncertaintyC: Math.hypot(circuitUncertaintyC, rectangular(toleranceC), rectangular(leadErrorC)),
    calibratedUncertaintyC: Math.hypot(circuitUncertaintyC, calibrationLeftoverC),
  };
};
