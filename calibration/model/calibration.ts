import type { BudgetLine } from '../budget/coverage-factor.js';
import type { SteinhartHart4Law } from '../thermistor/laws.js';

/** The curve a calibration arrived at. */
export type CalibrationModel =
  /**
   * The maker's law and what is taken off its indication: a correction every `stepC` degrees of indication from `fromC`,
   * cubic between them, the last one beyond. A thermistor brings its law; the others' laws are standards.
   */
  | {
      readonly kind: 'corrected';
      readonly law?: SteinhartHart4Law | undefined;
      readonly fromC: number;
      readonly stepC: number;
      readonly correctionsC: readonly number[];
    }
  /** Certificates of layout 1. */
  | {
      readonly kind: 'thermistor';
      readonly fitted: 'offset' | 'resistance-and-beta' | 'steinhart-hart';
      readonly law: SteinhartHart4Law;
    }
  /** Layout 1: E(hot) = e + offset + gain e + E(cold), e the EMF the amplifier saw. */
  | {
      readonly kind: 'thermocouple';
      readonly fitted: 'offset' | 'offset-and-gain';
      readonly offsetMicrovolts: number;
      readonly gain: number;
    };

/** What the points of a session make of a probe, before it becomes a certificate. */
export type Calibration = {
  readonly model: Extract<CalibrationModel, { kind: 'corrected' }>;
  /** Reading of the calibrated probe minus the best estimate of the bath, a point each. */
  readonly residualsC: readonly number[];
  /** Everything that can be wrong with one reading at this temperature. */
  readonly linesAt: (temperatureC: number) => readonly BudgetLine[];
  /** Of the correction alone, between two temperatures. */
  readonly covarianceC2: (aC: number, bC: number) => number;
  readonly validC: { readonly from: number; readonly to: number };
  /** How far the points are from what such a probe allows: 0 to 1, the chance to see them this far or further. */
  readonly plausibility: number;
  /** Each point against the maker's law and the other points: the difference, and its standard uncertainty. */
  readonly leftOut: readonly { readonly differenceC: number; readonly standardUncertaintyC: number }[];
};
