import {
  missingReasons,
  type Quality,
  type Quantity,
  type RawUnit,
  type ReadingRow,
  type RowValues,
  rowValue,
  valueNames,
} from '../../../node/index.js';

/**
 * Readings of one series side by side, in order of time. This is the shape that blocks are packed from and
 * unpacked to: a season has 43 million readings, and one object each would cost too much.
 */
export type Columns = {
  readonly length: number;
  /** Wall milliseconds, whole. */
  readonly at: Float64Array;
  /** Thousandths of the unit of the probe's quantity (degree Celsius, kPa, 1/min); means something only where `marks` says the quality is good. */
  readonly milli: Int32Array;
  /** What is known of each reading, packed by `markOf`. */
  readonly marks: Uint8Array;
  readonly raw: Float64Array;
  readonly coldJunctionC: Float64Array;
  /** Thousandths of the same unit. */
  readonly uncertaintyMilli: Int32Array;
  /** Row of the certificate table; 0 where the nominal curve was used. */
  readonly certificate: Uint16Array;
};

/** The place of a word in these lists is its number in the file: add at the end, never reorder. */
const qualities: readonly Quality[] = ['good', ...missingReasons];
const rawUnits: readonly RawUnit[] = ['ohm', 'microvolt', 'volt'];

export const qualityMask = 0x0f;
const unitShift = 4;
export const hasRaw = 0x30;
export const hasColdJunction = 0x40;
export const hasUncertainty = 0x80;

export const markOf = (row: Pick<ReadingRow, 'quality' | 'rawUnit' | 'coldJunctionC'> & RowValues) =>
  qualities.indexOf(row.quality) |
  (row.rawUnit === undefined ? 0 : (rawUnits.indexOf(row.rawUnit) + 1) << unitShift) |
  (row.coldJunctionC === undefined ? 0 : hasColdJunction) |
  (uncertaintyOf(row) === undefined ? 0 : hasUncertainty);

const uncertaintyOf = (row: RowValues): number | undefined =>
  row.uncertaintyC ?? row.uncertaintyKpa ?? row.uncertaintyRpm;

export const qualityOfMark = (mark: number): Quality => qualities[mark & qualityMask] ?? 'implausible';
const unitOfMark = (mark: number): RawUnit | undefined => rawUnits[((mark & hasRaw) >> unitShift) - 1];

export const emptyColumns = (length: number): Columns => ({
  length,
  at: new Float64Array(length),
  milli: new Int32Array(length),
  marks: new Uint8Array(length),
  raw: new Float64Array(length),
  coldJunctionC: new Float64Array(length),
  uncertaintyMilli: new Int32Array(length),
  certificate: new Uint16Array(length),
});

/** The readings from `start` up to but not including `end`, without a copy. */
export const sliceColumns = (c: Columns, start: number, end: number): Columns => ({
  length: end - start,
  at: c.at.subarray(start, end),
  milli: c.milli.subarray(start, end),
  marks: c.marks.subarray(start, end),
  raw: c.raw.subarray(start, end),
  coldJunctionC: c.coldJunctionC.subarray(start, end),
  uncertaintyMilli: c.uncertaintyMilli.subarray(start, end),
  certificate: c.certificate.subarray(start, end),
});

/** One reading as a row again; `probe` and the certificate's name come from the store's lists. */
export const rowAt = (
  c: Columns,
  i: number,
  { probe, quantity }: { readonly probe: string; readonly quantity: Quantity },
  certificates: readonly string[],
): ReadingRow => {
  const names = valueNames[quantity];
  const mark = c.marks[i] ?? 0;
  const unit = unitOfMark(mark);
  const certificate = certificates[c.certificate[i] ?? 0];
  return {
    probe,
    at: c.at[i] ?? 0,
    ...((mark & qualityMask) === 0 && { [names.value]: (c.milli[i] ?? 0) / 1000 }),
    ...(mark & hasUncertainty && { [names.uncertainty]: (c.uncertaintyMilli[i] ?? 0) / 1000 }),
    ...(unit && { raw: c.raw[i] ?? 0, rawUnit: unit }),
    ...(mark & hasColdJunction && { coldJunctionC: c.coldJunctionC[i] ?? 0 }),
    quality: qualityOfMark(mark),
    ...(certificate && { certificate }),
  };
};

/** Checked rows side by side, in their order. */
export const columnsFromRows = (
  rows: readonly ReadingRow[],
  certificateId: (name: string | undefined) => number,
): Columns => {
  const c = emptyColumns(rows.length);
  rows.forEach((row, i) => {
    c.at[i] = row.at;
    const value = rowValue(row);
    c.milli[i] = Math.round((value?.value ?? 0) * 1000);
    c.marks[i] = markOf(row);
    c.raw[i] = row.raw ?? 0;
    c.coldJunctionC[i] = row.coldJunctionC ?? 0;
    c.uncertaintyMilli[i] = Math.round((value?.uncertainty ?? 0) * 1000);
    c.certificate[i] = certificateId(row.certificate);
  });
  return c;
};

/** The same readings in strict order of time; of several at one millisecond the first stays. */
export const inOrderOfTime = (c: Columns): Columns => {
  let inOrder = true;
  for (let i = 1; inOrder && i < c.length; i++) inOrder = (c.at[i - 1] as number) < (c.at[i] as number);
  if (inOrder) return c;
  const order = Array.from(c.at.keys()).sort((a, b) => (c.at[a] as number) - (c.at[b] as number) || a - b);
  const sorted = emptyColumns(c.length);
  order.forEach((from, to) => {
    copyReading(c, from, sorted, to);
  });
  return mergeColumns(emptyColumns(0), sorted).columns;
};

/** Index of the first reading at or after `at`. */
export const firstAtOrAfter = (times: Float64Array, at: number): number => {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((times[middle] ?? 0) < at) low = middle + 1;
    else high = middle;
  }
  return low;
};

export type Merged = { readonly columns: Columns; readonly added: number; readonly differing: number };

/**
 * Two runs in order of time as one. Where both know a moment the reading of `kept` stays: nothing that was
 * stored is ever changed; how many of `late` said something else is counted.
 */
export const mergeColumns = (kept: Columns, late: Columns): Merged => {
  const out = emptyColumns(kept.length + late.length);
  let i = 0;
  let j = 0;
  let n = 0;
  let added = 0;
  let differing = 0;
  while (i < kept.length || j < late.length) {
    const a = i < kept.length ? (kept.at[i] ?? 0) : Number.POSITIVE_INFINITY;
    const b = j < late.length ? (late.at[j] ?? 0) : Number.POSITIVE_INFINITY;
    if (a === b) {
      if (!sameReading(kept, i, late, j)) differing++;
      j++;
    } else if (a < b) copyReading(kept, i++, out, n++);
    else {
      const last = n > 0 ? out.at[n - 1] : undefined;
      if (last === b) {
        if (!sameReading(out, n - 1, late, j)) differing++;
        j++;
      } else {
        copyReading(late, j++, out, n++);
        added++;
      }
    }
  }
  return { columns: sliceColumns(out, 0, n), added, differing };
};

const copyReading = (from: Columns, i: number, to: Columns, n: number): void => {
  to.at[n] = from.at[i] ?? 0;
  to.milli[n] = from.milli[i] ?? 0;
  to.marks[n] = from.marks[i] ?? 0;
  to.raw[n] = from.raw[i] ?? 0;
  to.coldJunctionC[n] = from.coldJunctionC[i] ?? 0;
  to.uncertaintyMilli[n] = from.uncertaintyMilli[i] ?? 0;
  to.certificate[n] = from.certificate[i] ?? 0;
};

const sameReading = (a: Columns, i: number, b: Columns, j: number): boolean =>
  a.marks[i] === b.marks[j] &&
  a.milli[i] === b.milli[j] &&
  a.raw[i] === b.raw[j] &&
  a.coldJunctionC[i] === b.coldJunctionC[j] &&
  a.uncertaintyMilli[i] === b.uncertaintyMilli[j] &&
  a.certificate[i] === b.certificate[j];
