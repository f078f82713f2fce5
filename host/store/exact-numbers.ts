import { largestPacked, type PackedBytes, type PackedReader } from './packed-bytes.js';

/** Says that the column holds the doubles themselves, because they have no short decimal form. */
const asDoubles = 255;
const mostDecimals = 6;

/**
 * Packs doubles so that they come back bit for bit. Values with at most six decimals, as converters and chips
 * give, become whole steps of 10^-k from one to the next; anything else is written as its eight bytes, the
 * like bytes of all values together, which deflate packs better than value by value.
 */
export const packNumbers = (values: Float64Array, out: PackedBytes): void => {
  const decimals = commonDecimals(values);
  if (decimals === undefined) {
    out.byte(asDoubles);
    out.raw(byteColumns(values));
    return;
  }
  out.reserve(values.length + 1);
  out.byte(decimals);
  const scale = 10 ** decimals;
  let previous = 0;
  for (let i = 0; i < values.length; i++) {
    const step = Math.round((values[i] as number) * scale);
    out.signed(step - previous);
    previous = step;
  }
};

/** The way back, for `count` values. */
export const unpackNumbers = (input: PackedReader, count: number): Float64Array => {
  const decimals = input.byte();
  if (decimals === asDoubles) return fromByteColumns(input.raw(count * 8), count);
  if (decimals > mostDecimals) throw new RangeError(`a column claims ${decimals} decimals`);
  const values = new Float64Array(count);
  const scale = 10 ** decimals;
  let step = 0;
  for (let i = 0; i < count; i++) {
    step += input.signed();
    values[i] = step / scale;
  }
  return values;
};

/** The fewest decimals that write every value exactly; none for values such as 1/3 or minus zero. */
const commonDecimals = (values: Float64Array): number | undefined => {
  let decimals = 0;
  let scale = 1;
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    for (;;) {
      const step = Math.round(value * scale);
      if (Math.abs(step) > largestPacked || Object.is(value, -0)) return undefined;
      if (step / scale === value) break;
      if (decimals === mostDecimals) return undefined;
      scale = 10 ** ++decimals;
    }
  }
  // A value that is exact with few decimals is exact with more, unless the step grew too large.
  for (const value of values) if (Math.abs(value * scale) > largestPacked) return undefined;
  return decimals;
};

const byteColumns = (values: Float64Array): Uint8Array => {
  const bytes = new Uint8Array(values.slice().buffer);
  const out = new Uint8Array(bytes.length);
  for (let i = 0; i < bytes.length; i++) out[(i & 7) * values.length + (i >>> 3)] = bytes[i] ?? 0;
  return out;
};

const fromByteColumns = (columns: Uint8Array, count: number): Float64Array => {
  const bytes = new Uint8Array(count * 8);
  for (let i = 0; i < bytes.length; i++) bytes[i] = columns[(i & 7) * count + (i >>> 3)] ?? 0;
  return new Float64Array(bytes.buffer);
};
