import { dividerCounts, selfHeatingC } from '../../calibration/index.js';
import { type Converter, countsUncertainty } from './converter.js';
import { elementOf, type Part } from './element.js';

export type NtcCircuit = {
  readonly part: Part;
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

const rectangular = (halfWidth: number) => halfWidth / Math.sqrt(3);

/**
 * What home-made fixed points and the shape of the curve between them leave over, standard uncertainty:
 * 0.1 C in an ice bath, 0.15 C in boiling water, 0.1 C for the curve's shape (common practice, no source).
 * The certificate of a real calibration replaces this guess.
 */
const calibrationLeftoverC = Math.hypot(0.1, 0.15, 0.1);

/** Throws ThermometryError where the part has no resistance (a thermistor below -100 or above 400 C). */
export const ntcPoint = (circuit: NtcCircuit, resistorOhms: number, temperatureC: number): NtcPoint => {
  const { part, converter, supplyVolts, leadOhms, thermistorSide } = circuit;
  const divider = { resistorOhms, thermistorSide, leadOhms };
  const element = elementOf(part);
  const ohms = element.ohmsAt(temperatureC);
  const slopeCPerOhm = element.cPerOhm(temperatureC);
  const total = ohms + leadOhms + resistorOhms;
  const cPerCount = (slopeCPerOhm * total ** 2) / (resistorOhms * converter.fullScaleCounts);
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
  const toleranceC = element.toleranceC(temperatureC);
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
