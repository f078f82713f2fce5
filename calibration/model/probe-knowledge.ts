import type { BudgetLine } from '../budget/coverage-factor.js';
import type { ElectricalSignal } from '../reading/signal.js';
import type { SteinhartHart4Law } from '../thermistor/law-schema.js';
import type { Effect } from './effect.js';

/** What is known of a kind of probe and its input before any bath: the one thing in which the kinds differ. */
export type ProbeKnowledge = {
  /** The law indications come from, where it is no standard. */
  readonly law?: SteinhartHart4Law;
  readonly validC: { readonly from: number; readonly to: number };
  /** Steps of the correction and of the uncertainty. */
  readonly stepC: number;
  /** Errors that baths can teach something about. */
  readonly effects: readonly Effect[];
  /** Indication minus truth, for a signal at a known temperature; linear in the errors of the part. */
  readonly deviationC: (signal: ElectricalSignal, atC: number) => number;
  /** What the maker's law indicates at a true temperature when the deviation there is this. */
  readonly indicatedC: (trueC: number, deviationC: number) => number;
  /** Errors of a reading in use that no bath at the table can teach anything about. */
  readonly inUse: (temperatureC: number) => readonly BudgetLine[];
};
