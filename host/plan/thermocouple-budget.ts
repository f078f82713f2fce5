import { type ToleranceClass, thermocoupleCurve, toleranceLimitC } from '../../calibration/index.js';
import { ads1115Converter, boardConverter, countsUncertainty } from './converter.js';

export type Amplifier = 'mcp9601' | 'ad8495' | 'ad8495-ads1115';

/** One thermocouple channel at one temperature; limits are taken as rectangular, all in degrees. */
export type ThermocouplePoint = {
  readonly temperatureC: number;
  readonly emfMicrovolts: number;
  readonly cPerCount: number;
  /** Largest deviation of the wire by its class, IEC 60584-1 or ASTM E230. */
  readonly wireLimitC: number;
  readonly coldJunctionLimitC: number;
  readonly amplifierLimitC: number;
  /** What a supply that is off by its tolerance does; only for a signal that is not ratiometric. */
  readonly supplyLimitC: number;
  readonly uncertaintyC: number;
};

/** A 5 V supply over USB is specified within 4.75 to 5.25 V (USB 2.0, from memory). */
const supplyTolerance = 0.05;
/** ADS1115 datasheet SBAS444D, 7.5. */
const ads1115GainTolerance = 0.0015;

const rectangular = (...halfWidths: readonly number[]) => Math.hypot(...halfWidths) / Math.sqrt(3);

/**
 * A new probe, uncalibrated. MCP9601: cold junction 1.0 C, difference 0.5 C (datasheet DS20005426G, 0 to 85 C),
 * 18 bits of 2 microvolts. AD8495: 1 C at 25 C and 0.025 C per degree of board (datasheet rev C, better grade) over
 * 30 degrees, 5 mV per degree on the board's 10 bits against the supply; or on an ADS1115 at +-6.144 V, which has a reference
 * of its own: gain error 0.15 %, 187.5 microvolts a count (datasheet SBAS444D, 7.5).
 */
export const thermocouplePoint = (
  amplifier: Amplifier,
  wire: ToleranceClass,
  temperatureC: number,
  supplyVolts: number,
): ThermocouplePoint => {
  const curve = thermocoupleCurve('K');
  const wireLimitC = toleranceLimitC('K', wire, temperatureC);
  const shared = { temperatureC, emfMicrovolts: curve.emfMicrovolts(temperatureC), wireLimitC };
  if (amplifier === 'mcp9601') {
    const cPerCount = 2 / curve.seebeckMicrovoltsPerC(temperatureC);
    const limits = { coldJunctionLimitC: 1, amplifierLimitC: 0.5, supplyLimitC: 0 };
    return {
      ...shared,
      ...limits,
      cPerCount,
      uncertaintyC: Math.hypot(rectangular(wireLimitC, 1, 0.5), cPerCount),
    };
  }
  const fine = amplifier === 'ad8495-ads1115';
  const converter = fine ? ads1115Converter(supplyVolts) : boardConverter;
  const cPerCount = supplyVolts / converter.fullScaleCounts / 0.005;
  const limits = {
    coldJunctionLimitC: 30 * 0.025,
    amplifierLimitC: 1,
    supplyLimitC: temperatureC * (fine ? ads1115GainTolerance : supplyTolerance),
  };
  return {
    ...shared,
    ...limits,
    cPerCount,
    uncertaintyC: Math.hypot(
      rectangular(wireLimitC, limits.coldJunctionLimitC, limits.amplifierLimitC, limits.supplyLimitC),
      cPerCount * countsUncertainty(converter),
    ),
  };
};
