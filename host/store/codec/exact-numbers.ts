import { largestPacked, type PackedBytes, type PackedReader } from './packed-bytes.js';

/** Says that the column holds the doubles themselves, because they have no short decimal form. */
const asDoubles = 255;
const mostDecimals = 6;

/**
 * Packs doubles so that they come back bit for bit. Values with at most six decimals, as converters and chips
 * give, become whole steps of 10^-k from one to the next; anything else is written as its eight bytes, the
 * like bytes of all values together, which deflate packs better than value by value. A guide is another column that
 * the values follow, known to the reader too.
 */
export const packNumbers = (values: Float64Array, guide: Int32Array | undefined, out: PackedBytes): void => {
  const decimals = commonDecimals(values);
  if (decimals === undefined) {
    out.byte(asDoubles);
    out.raw(byteColumns(values));
    return;
  }
  out.reserve(values.length + 1);
  out.byte(decimals);
  const scale = 10 ** decimals;
  const expected = new Follower(guide);
  let previous = 0;
  for (let i = 0; i < values.length; i++) {
    const whole = Math.round((values[i] as number) * scale);
    const step = whole - previous;
    out.signed(step - expected.step(i));
    expected.learn(step);
    previous = whole;
  }
};

/** The way back, for `count` values, with the same guide. */
export const unpackNumbers = (
  input: PackedReader,
  count: number,
  guide: Int32Array | undefined,
): Float64Array => {
  const decimals = input.byte();
  if (decimals === asDoubles) return fromByteColumns(input.raw(count * 8), count);
  if (decimals > mostDecimals) throw new RangeError(`a column claims ${decimals} decimals`);
  const values = new Float64Array(count);
  const scale = 10 ** decimals;
  const expected = new Follower(guide);
  let whole = 0;
  for (let i = 0; i < count; i++) {
    const step = input.signed() + expected.step(i);
    expected.learn(step);
    whole += step;
    values[i] = whole / scale;
  }
  return values;
};

/**
 * Expects a value to follow its guide at the ratio of late: a resistance follows the temperature that was computed
 * from it, so that most of its step is known before it is read. Only sums, products and roundings of doubles,
 * which every machine does alike. Without a guide it expects nothing.
 */
class Follower {
  private guideStep = 0;
  private both = 0;
  private guideOnly = 0;
  private readonly guide: Int32Array | undefined;

  constructor(guide: Int32Array | undefined) {
    this.guide = guide;
  }

  step(i: number): number {
    const { guide } = this;
    if (guide === undefined || i === 0) return 0;
    this.guideStep = (guide[i] as number) - (guide[i - 1] as number);
    if (this.guideOnly === 0) return 0;
    const step = Math.round((this.both / this.guideOnly) * this.guideStep);
    return Math.abs(step) < largestStep ? step : 0;
  }

  learn(step: number): void {
    if (this.guideStep === 0) return;
    this.both = this.both * memory + step * this.guideStep;
    this.guideOnly = this.guideOnly * memory + this.guideStep * this.guideStep;
  }
}

/** What was learned fades with this, so that the ratio is of the last minute or so. */
const memory = 0.98;
const largestStep = 2 ** 40;

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
