import type { MonotonicMs } from '../time/clock.js';
import type { Quantity, Valued } from './quantity.js';

/** The id of a probe in kit.yaml; its channel and its readings have the same. */
export type ProbeId = string;

export type RawUnit = 'ohm' | 'microvolt' | 'volt';

/** The electrical quantity behind a reading, kept for ever so that history can be re-derived. */
export type Signal = {
  readonly raw: number;
  readonly rawUnit: RawUnit;
  /** Only for thermocouples: the temperature of the amplifier's own junction. */
  readonly coldJunctionC?: number;
};

/** A value and its standard uncertainty (k = 1; a kelvin is equal in size to a degree Celsius), by its quantity. */
export type Measured<Q extends Quantity = Quantity> = { readonly kind: 'measured' } & Valued<Q>;

export const missingReasons = [
  'open',
  'short',
  'short-to-supply',
  'out-of-range',
  'no-answer',
  'implausible',
  'stale',
  'board-away',
  'contradicting',
  'reversed',
  'cold-junction',
  'canary-astray',
] as const;
export type MissingReason = (typeof missingReasons)[number];

/** A value we do not have, and why. It never means "normal". */
export type Missing = { readonly kind: 'missing'; readonly reason: MissingReason };

export type Reading = {
  readonly probe: ProbeId;
  readonly readAtMs: MonotonicMs;
  /** Absent when the input gave nothing that could be believed, not even ohms. */
  readonly signal?: Signal;
  readonly result: Measured | Missing;
  /** The certificate the conversion used, as `id@version`; absent while only the nominal curve is known. */
  readonly certificate?: string;
};

/** One word for a table column: `good`, or the reason there is no value. */
export type Quality = 'good' | MissingReason;
export const qualityOf = (reading: Reading): Quality =>
  reading.result.kind === 'measured' ? 'good' : reading.result.reason;

/** The temperature of a reading; nothing where it is missing or of another quantity. */
export const temperatureOf = ({ result }: Pick<Reading, 'result'>): number | undefined =>
  result.kind === 'measured' && result.quantity === 'temperature' ? result.temperatureC : undefined;
