import type { Engine, Quality, Quantity } from '../../node/index.js';

/** Readings of one probe side by side, in order of time. */
export type ProbeHistory = {
  readonly probe: string;
  /** Wall milliseconds. */
  readonly at: Float64Array;
  readonly quality: readonly Quality[] | 'all good';
} & Values;

/** Mean something only where the quality is good. */
export type Values =
  | { readonly temperatureC: Float64Array }
  /** In the unit of the quantity, kPa or 1/min. */
  | { readonly quantity: Exclude<Quantity, 'temperature'>; readonly values: Float64Array };

export const valuesOf = (quantity: Quantity, values: Float64Array): Values =>
  quantity === 'temperature' ? { temperatureC: values } : { quantity, values };

export type RunSpan = { readonly startAt: number; readonly endAt: number };

/** What a replay runs over, from wherever it came. */
export type RecordedHistory = {
  readonly probes: readonly ProbeHistory[];
  /** When each engine's running input was on, in order; absent where nothing is known of it. */
  readonly runSpans: Readonly<Record<Engine, readonly RunSpan[]>>;
};
