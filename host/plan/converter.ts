/** What a converter does to a voltage, as shares of its full scale. */
export type Converter = {
  readonly name: string;
  /** Steps from zero to the reference. */
  readonly fullScaleCounts: number;
  /** Random noise of one conversion, standard deviation in counts. */
  readonly noiseCounts: number;
  /** Nonlinearity of its line that averaging does not remove, largest, in counts. */
  readonly nonlinearityCounts: number;
  /** Conversions that are averaged into one reading. */
  readonly averaged: number;
};

/**
 * The board's own converter. Ten bits; integral nonlinearity 0.5 LSB typical (ATmega328P datasheet, from memory),
 * 1 taken here for clones; 0.7 counts of noise on a boat (common practice, no source), which is what makes averaging
 * gain resolution. Stock firmware reports every 10 ms or so: eight reports go into one reading at 10 Hz.
 */
export const boardConverter: Converter = {
  name: 'the board’s 10 bits, 8 averaged',
  fullScaleCounts: 1024,
  noiseCounts: 0.7,
  nonlinearityCounts: 1,
  averaged: 8,
};

/**
 * ADS1115 at +-6.144 V: 187.5 microvolts a count, nonlinearity 1 LSB (datasheet SBAS444D). `supplyVolts` sets how
 * many counts lie between ground and the supply, which a second input measures so that the divider stays ratiometric.
 */
export const ads1115Converter = (supplyVolts: number): Converter => ({
  name: 'ADS1115, 16 bits',
  fullScaleCounts: Math.round(supplyVolts / 187.5e-6),
  noiseCounts: 0.5,
  nonlinearityCounts: 1,
  averaged: 1,
});

/** Standard uncertainty of one averaged conversion, in counts: noise and rounding average down, the nonlinearity does not. */
export const countsUncertainty = ({ noiseCounts, nonlinearityCounts, averaged }: Converter): number =>
  Math.hypot(
    Math.hypot(noiseCounts, 1 / Math.sqrt(12)) / Math.sqrt(averaged),
    nonlinearityCounts / Math.sqrt(3),
  );
