import type { SteinhartHart4Law } from '../thermistor/laws.js';
import type { BudgetLine } from './coverage-factor.js';

/** The curve a calibration arrived at. */
export type CalibrationModel =
  | {
      readonly kind: 'thermistor';
      readonly fitted: 'offset' | 'resistance-and-beta' | 'steinhart-hart';
      readonly law: SteinhartHart4Law;
    }
  /** E(hot) = e + offset + gain e + E(cold), e the EMF the amplifier saw: gain errors of wire and chip act on that alone. */
  | {
      readonly kind: 'thermocouple';
      readonly fitted: 'offset' | 'offset-and-gain';
      readonly offsetMicrovolts: number;
      readonly gain: number;
    };

/** What a fit to calibration points gives, before it becomes a certificate. */
export type Calibration = {
  readonly model: CalibrationModel;
  readonly parameterNames: readonly string[];
  readonly parameters: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Reading of the fitted curve minus the temperature of the bath, a point each. */
  readonly residualsC: readonly number[];
  /** Everything that can be wrong with one reading at this temperature. */
  readonly linesAt: (temperatureC: number) => readonly BudgetLine[];
  readonly validC: { readonly from: number; readonly to: number };
};
