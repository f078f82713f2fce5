import { z } from 'zod';
import type { BudgetLine } from '../budget/coverage-factor.js';
import { steinhartHart4Law } from '../thermistor/law-schema.js';

/** The curve a calibration arrived at. */
export const modelSchema = z.discriminatedUnion('kind', [
  /**
   * The maker's law and what is taken off its indication: a correction every `stepC` degrees of indication from `fromC`,
   * cubic between them, the last one beyond. A thermistor brings its law; the others' laws are standards.
   */
  z.strictObject({
    kind: z.literal('corrected'),
    law: steinhartHart4Law.optional(),
    fromC: z.number(),
    stepC: z.number().positive(),
    correctionsC: z.array(z.number()).min(2),
  }),
  /** Certificates of layout 1. */
  z.strictObject({
    kind: z.literal('thermistor'),
    fitted: z.enum(['offset', 'resistance-and-beta', 'steinhart-hart']),
    law: steinhartHart4Law,
  }),
  /** Layout 1: E(hot) = e + offset + gain e + E(cold), e the EMF the amplifier saw. */
  z.strictObject({
    kind: z.literal('thermocouple'),
    fitted: z.enum(['offset', 'offset-and-gain']),
    offsetMicrovolts: z.number(),
    gain: z.number(),
  }),
]);
export type CalibrationModel = Readonly<z.infer<typeof modelSchema>>;

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
