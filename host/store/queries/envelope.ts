import type { Quantity } from '../../../node/index.js';
import { hourMs, TraceSpace, unpackTrace } from '../codec/block.js';
import { type Columns, qualityMask } from '../codec/columns.js';
import type { Series } from '../tables/names.js';
import type { File } from '../tables/open-file.js';
import { damagedBlock, type Readings, type StoredBlock } from '../tables/readings.js';

const second = 1000;
const minute = 60 * second;
const day = 24 * hourMs;

/** Widths that divide one another's hours and days, so that the same moments share a bucket at every zoom. */
export const bucketWidthsMs: readonly number[] = [
  ...[1, 2, 5, 10, 15, 30].map((n) => n * second),
  ...[1, 2, 5, 10, 15, 30].map((n) => n * minute),
  ...[1, 2, 3, 6, 12].map((n) => n * hourMs),
  ...[1, 2, 7].map((n) => n * day),
];

/** The narrowest width that covers the span with at most `atMost` buckets. */
export const bucketWidth = (from: number, to: number, atMost: number): number => {
  const fits = (width: number) => Math.ceil(to / width) - Math.floor(from / width) <= atMost;
  const widest = bucketWidthsMs.at(-1) ?? day;
  return bucketWidthsMs.find(fits) ?? Math.ceil((to - from) / Math.max(1, atMost - 1) / widest) * widest;
};

/** Buckets side by side. Where `n` is 0 there is no value, and least, mean and greatest hold nothing. */
type Buckets = {
  readonly probe: string;
  readonly everyMs: number;
  /** Wall milliseconds at which each bucket starts; every bucket is whole. */
  readonly at: number[];
  /** Good readings in the bucket, and those that had no value. */
  readonly n: number[];
  readonly missing: number[];
};

/** Of a thermometer, degrees Celsius. */
export type Envelope = Buckets & {
  readonly minC: (number | undefined)[];
  readonly meanC: (number | undefined)[];
  readonly maxC: (number | undefined)[];
};

/** Of a probe of any quantity, in the unit of its quantity (degrees Celsius, kPa or 1/min). */
export type ValueEnvelope = Buckets & {
  readonly quantity: Quantity;
  readonly min: (number | undefined)[];
  readonly mean: (number | undefined)[];
  readonly max: (number | undefined)[];
};

/** Minimum, mean and maximum per bucket. Whole hours come from the index alone; narrower ones are decoded, exactly. */
export class Envelopes {
  private readonly sums;
  private readonly traces;
  private readonly readings: Readings;
  private readonly space = new TraceSpace();

  constructor(file: File, readings: Readings) {
    this.readings = readings;
    this.sums = file
      .prepare(
        'SELECT hour, n, missing, min, max, sum FROM block WHERE series = ? AND hour >= ? AND hour < ? ORDER BY hour',
      )
      .raw();
    this.traces = file.prepare(
      'SELECT id, hour, n, missing, trace FROM block WHERE series = ? AND hour >= ? AND hour < ? ORDER BY hour',
    );
  }

  /** `unstored` are readings that still wait for their commit. */
  of(series: Series, from: number, to: number, everyMs: number, unstored: Columns): ValueEnvelope {
    const start = Math.floor(from / everyMs) * everyMs;
    const end = Math.max(start, Math.ceil(to / everyMs) * everyMs);
    const sums = new BucketSums(start, everyMs, Math.round((end - start) / everyMs));
    // Hours that also have rows outside their block are merged first: a reading may be in both.
    const merged = new Set(this.readings.recentHours(series, start, end));
    const hours = [series.id, Math.floor(start / hourMs), Math.ceil(end / hourMs)] as const;
    if (everyMs % hourMs === 0) this.addSums(sums, merged, hours);
    else this.addTraces(series, sums, merged, hours);
    for (const hour of merged) sums.addReadings(this.readings.wholeHour(series, hour));
    sums.addReadings(unstored);
    const { name: probe, quantity } = series.probe;
    return { probe, quantity, everyMs, ...sums.toColumns() };
  }

  private addSums(sums: BucketSums, merged: ReadonlySet<number>, hours: readonly [number, number, number]) {
    for (const row of this.sums.iterate(...hours)) {
      const [hour, n, missing, min, max, sum] = row as [number, number, number, number, number, number];
      if (!merged.has(hour)) sums.addSum(hour * hourMs, n, missing, min, max, sum);
    }
  }

  private addTraces(
    series: Series,
    sums: BucketSums,
    merged: ReadonlySet<number>,
    hours: readonly [number, number, number],
  ) {
    for (const row of this.traces.iterate(...hours)) {
      const block = row as Omit<StoredBlock, 'rest'>;
      if (merged.has(block.hour)) continue;
      try {
        sums.addReadings(unpackTrace(block, this.space));
      } catch (cause) {
        throw damagedBlock(series, block.hour, cause);
      }
    }
  }
}

class BucketSums {
  private readonly n: Uint32Array;
  private readonly missing: Uint32Array;
  private readonly min: Int32Array;
  private readonly max: Int32Array;
  private readonly sum: Float64Array;
  private readonly start: number;
  private readonly width: number;
  private readonly count: number;

  constructor(start: number, width: number, count: number) {
    this.start = start;
    this.width = width;
    this.count = count;
    this.n = new Uint32Array(count);
    this.missing = new Uint32Array(count);
    this.min = new Int32Array(count).fill(0x7fff_ffff);
    this.max = new Int32Array(count).fill(-0x8000_0000);
    this.sum = new Float64Array(count);
  }

  addSum(at: number, n: number, missing: number, min: number, max: number, sum: number): void {
    const b = Math.floor((at - this.start) / this.width);
    if (b < 0 || b >= this.count) return;
    this.missing[b] = (this.missing[b] as number) + missing;
    if (n === 0) return;
    this.n[b] = (this.n[b] as number) + n;
    this.sum[b] = (this.sum[b] as number) + sum;
    if (min < (this.min[b] as number)) this.min[b] = min;
    if (max > (this.max[b] as number)) this.max[b] = max;
  }

  /** Readings in order of time: all of one bucket are summed before the bucket is touched. */
  addReadings({ length, at, milli, marks }: Pick<Columns, 'length' | 'at' | 'milli' | 'marks'>): void {
    let i = 0;
    while (i < length) {
      const bucket = Math.floor(((at[i] as number) - this.start) / this.width);
      const bucketStart = this.start + bucket * this.width;
      const bucketEnd = bucketStart + this.width;
      let n = 0;
      let missing = 0;
      let min = 0x7fff_ffff;
      let max = -0x8000_0000;
      let sum = 0;
      for (; i < length && (at[i] as number) < bucketEnd; i++) {
        if (((marks[i] as number) & qualityMask) !== 0) {
          missing++;
          continue;
        }
        const value = milli[i] as number;
        if (value < min) min = value;
        if (value > max) max = value;
        sum += value;
        n++;
      }
      this.addSum(bucketStart, n, missing, min, max, sum);
    }
  }

  toColumns() {
    const known = (value: (b: number) => number): (number | undefined)[] =>
      Array.from(this.n, (n, b) => (n === 0 ? undefined : value(b)));
    return {
      at: Array.from(this.n, (_, b) => this.start + b * this.width),
      n: Array.from(this.n),
      missing: Array.from(this.missing),
      min: known((b) => (this.min[b] as number) / 1000),
      mean: known((b) => (this.sum[b] as number) / (this.n[b] as number) / 1000),
      max: known((b) => (this.max[b] as number) / 1000),
    };
  }
}
