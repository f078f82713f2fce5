/** What sets the gauge pressure behind one raw-water pump. Invented, within what small rubber-impeller pumps give. */
export type PumpPressureTraits = {
  /** Water column between the transducer and the point of injection, kPa; 1 kPa is about 0.1 m. */
  readonly standingKpa: number;
  /** Pressure drop of a clean circuit (exchangers, hoses, elbow) at rated speed, kPa. */
  readonly circuitKpa: number;
};

/**
 * Gauge pressure between pump and exchangers, kPa. `relativeFlow` is the flow over the flow at rated speed, `open` the
 * part of the circuit's area that scale leaves (1 clean): the drop of a turbulent circuit goes with the square of both.
 * `filled` is the part of the line that holds water: a pump that draws air holds nothing up.
 */
export const pumpPressureKpa = (
  { standingKpa, circuitKpa }: PumpPressureTraits,
  { relativeFlow, open, filled }: { relativeFlow: number; open: number; filled: number },
): number => filled * standingKpa + circuitKpa * (relativeFlow / Math.max(0.2, open)) ** 2;
