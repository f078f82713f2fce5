import { crc32, deflateRawSync, inflateRawSync } from 'node:zlib';
import {
  type Columns,
  emptyColumns,
  hasColdJunction,
  hasRaw,
  hasUncertainty,
  qualityMask,
} from './columns.js';
import { packNumbers, unpackNumbers } from './exact-numbers.js';
import { PackedBytes, PackedReader } from './packed-bytes.js';

export const hourMs = 3_600_000;

/** One hour of one series as it is in the file. The sums are of good readings, in thousandths of a degree. */
export type Block = {
  readonly hour: number;
  /** Good readings; `missing` counts the others. */
  readonly n: number;
  readonly missing: number;
  readonly min: number;
  readonly max: number;
  readonly sum: number;
  /** Times and temperatures: what a chart needs. */
  readonly trace: Uint8Array;
  /** Raw quantity, cold junction, uncertainty, certificate: what a mechanic or a new calibration needs. */
  readonly rest: Uint8Array;
};

/** Times and temperatures of a block, without the rest. */
export type Trace = Pick<Columns, 'length' | 'at' | 'milli' | 'marks'>;

const trace = new PackedBytes();
const rest = new PackedBytes();
const chosen = { doubles: new Float64Array(8192) };

/** Packs readings that all lie in one hour, in order of time. */
export const packBlock = (c: Columns): Block => {
  const hour = Math.floor((c.at[0] ?? 0) / hourMs);
  trace.clear();
  packRuns(c.marks, trace);
  trace.reserve(c.length * 2);
  packTimes(c.at, hour * hourMs, trace);
  const sums = packTemperatures(c, trace);
  rest.clear();
  packNumbers(present(c.raw, c.marks, hasRaw), guideOf(c, hasRaw), rest);
  packNumbers(present(c.coldJunctionC, c.marks, hasColdJunction), undefined, rest);
  packSteps(c.uncertaintyMilli, c.marks, hasUncertainty, rest);
  packRuns(c.certificate, rest);
  return { hour, ...sums, trace: seal(trace.view()), rest: seal(rest.view()) };
};

/** Columns that one block after another is unpacked into: a season's chart would make gigabytes of garbage. */
export class TraceSpace {
  private at = new Float64Array(0);
  private milli = new Int32Array(0);
  private marks = new Uint8Array(0);

  /** Holds the values of the block before it where the new one has none. */
  columns(length: number): Trace {
    if (length > this.at.length) {
      this.at = new Float64Array(length * 2);
      this.milli = new Int32Array(length * 2);
      this.marks = new Uint8Array(length * 2);
    }
    return {
      length,
      at: this.at.subarray(0, length),
      milli: this.milli.subarray(0, length),
      marks: this.marks.subarray(0, length),
    };
  }
}

/** Throws `RangeError` when the bytes are not what `packBlock` wrote. Overwrites what `space` held. */
export const unpackTrace = (
  block: Pick<Block, 'hour' | 'n' | 'missing' | 'trace'>,
  space = new TraceSpace(),
): Trace => {
  const length = block.n + block.missing;
  const input = new PackedReader(unseal(block.trace));
  const { at, milli, marks } = space.columns(length);
  unpackRuns(input, marks);
  let time = block.hour * hourMs;
  const pace = input.signed();
  for (let i = 0; i < length; i++) {
    time += input.signed() + (i === 0 ? 0 : pace);
    at[i] = time;
  }
  let value = 0;
  for (let i = 0; i < length; i++)
    if (((marks[i] as number) & qualityMask) === 0) {
      value += input.signed();
      milli[i] = value;
    }
  return { length, at, milli, marks };
};

/** A whole block, every field as it was stored. Throws `RangeError` as `unpackTrace` does. */
export const unpackBlock = (block: Omit<Block, 'min' | 'max' | 'sum'>): Columns => {
  const { length, at, milli, marks } = unpackTrace(block);
  const out = { ...emptyColumns(length), at, milli, marks };
  const input = new PackedReader(unseal(block.rest));
  spread(unpackNumbers(input, countOf(marks, hasRaw), guideOf(out, hasRaw)), marks, hasRaw, out.raw);
  const coldJunctions = unpackNumbers(input, countOf(marks, hasColdJunction), undefined);
  spread(coldJunctions, marks, hasColdJunction, out.coldJunctionC);
  let step = 0;
  for (let i = 0; i < length; i++)
    if ((marks[i] as number) & hasUncertainty) {
      step += input.signed();
      out.uncertaintyMilli[i] = step;
    }
  unpackRuns(input, out.certificate);
  return out;
};

/**
 * Each time by how much later it came than the pace would have it. Second differences would need no pace, but
 * double the jitter of a clock that is read again each time.
 */
const packTimes = (at: Float64Array, start: number, out: PackedBytes): void => {
  const pace = paceOf(at);
  out.signed(pace);
  let previous = at[0] as number;
  out.signed(previous - start);
  for (let i = 1; i < at.length; i++) {
    const time = at[i] as number;
    out.signed(time - previous - pace);
    previous = time;
  }
};

const paceSamples = 31;

/** The usual step from one time to the next: the median of a few, spread over the hour. */
const paceOf = (at: Float64Array): number => {
  if (at.length < 2) return 0;
  const steps = Float64Array.from({ length: paceSamples }, (_, k) => {
    const i = 1 + Math.floor((k * (at.length - 1)) / paceSamples);
    return (at[i] as number) - (at[i - 1] as number);
  });
  return steps.sort()[paceSamples >> 1] as number;
};

/** The temperatures beside the values that `mask` chooses; where there is none, the last one continues. */
const guideOf = (c: Pick<Columns, 'length' | 'milli' | 'marks'>, mask: number): Int32Array => {
  const guide = new Int32Array(c.length);
  let last = 0;
  let n = 0;
  for (let i = 0; i < c.length; i++) {
    const mark = c.marks[i] as number;
    if ((mark & qualityMask) === 0) last = c.milli[i] as number;
    if (mark & mask) guide[n++] = last;
  }
  return guide;
};

const packTemperatures = (c: Columns, out: PackedBytes) => {
  let previous = 0;
  let n = 0;
  let min = 0;
  let max = 0;
  let sum = 0;
  for (let i = 0; i < c.length; i++) {
    if (((c.marks[i] as number) & qualityMask) !== 0) continue;
    const milli = c.milli[i] as number;
    out.signed(milli - previous);
    previous = milli;
    if (n === 0 || milli < min) min = milli;
    if (n === 0 || milli > max) max = milli;
    sum += milli;
    n++;
  }
  return { n, missing: c.length - n, min, max, sum };
};

/** Values that seldom change, as (value, how many) pairs. */
const packRuns = (values: Uint8Array | Uint16Array, out: PackedBytes): void => {
  for (let i = 0; i < values.length; ) {
    const value = values[i] as number;
    let end = i + 1;
    while (end < values.length && values[end] === value) end++;
    out.reserve(2);
    out.signed(value);
    out.signed(end - i);
    i = end;
  }
};

const unpackRuns = (input: PackedReader, into: Uint8Array | Uint16Array): void => {
  for (let i = 0; i < into.length; ) {
    const value = input.signed();
    const end = i + input.signed();
    if (end <= i || end > into.length) throw new RangeError('a run is longer than its block');
    into.fill(value, i, end);
    i = end;
  }
};

const packSteps = (values: Int32Array, marks: Uint8Array, mask: number, out: PackedBytes): void => {
  out.reserve(values.length);
  let previous = 0;
  for (let i = 0; i < values.length; i++)
    if ((marks[i] as number) & mask) {
      out.signed((values[i] as number) - previous);
      previous = values[i] as number;
    }
};

const countOf = (marks: Uint8Array, mask: number): number => {
  let count = 0;
  for (const mark of marks) if (mark & mask) count++;
  return count;
};

/** The values that are there, close together; a view of one reused array. */
const present = (values: Float64Array, marks: Uint8Array, mask: number): Float64Array => {
  if (values.length > chosen.doubles.length) chosen.doubles = new Float64Array(values.length * 2);
  let n = 0;
  for (let i = 0; i < values.length; i++)
    if ((marks[i] as number) & mask) chosen.doubles[n++] = values[i] as number;
  return chosen.doubles.subarray(0, n);
};

const spread = (values: Float64Array, marks: Uint8Array, mask: number, into: Float64Array): void => {
  let n = 0;
  for (let i = 0; i < marks.length; i++) if ((marks[i] as number) & mask) into[i] = values[n++] ?? 0;
};

/** Deflated, with four bytes of CRC-32 over the deflated bytes behind: SQLite does not check what is in a blob. */
const seal = (bytes: Uint8Array): Uint8Array => {
  const packed = deflateRawSync(bytes, { level: 6 });
  const out = Buffer.allocUnsafe(packed.length + 4);
  packed.copy(out);
  out.writeUInt32LE(crc32(packed), packed.length);
  return out;
};

const unseal = (blob: Uint8Array): Uint8Array => {
  const bytes = Buffer.from(blob.buffer, blob.byteOffset, blob.byteLength);
  const packed = bytes.subarray(0, -4);
  if (bytes.length < 5 || crc32(packed) !== bytes.readUInt32LE(packed.length))
    throw new RangeError('the checksum does not fit the bytes');
  return inflateRawSync(packed);
};
