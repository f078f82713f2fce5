/** Largest size of a number that `PackedBytes` takes: its double must still be a whole number. */
export const largestPacked = 2 ** 51;

/**
 * Writes whole numbers as zigzag varints: the sign goes to the lowest bit, then seven bits a byte, low end
 * first, the top bit set on all but the last. Small steps take one byte.
 */
export class PackedBytes {
  length = 0;
  private bytes = new Uint8Array(65_536);

  clear(): void {
    this.length = 0;
  }

  /** What was written so far; valid until the next write. */
  view(): Uint8Array {
    return this.bytes.subarray(0, this.length);
  }

  /** Makes room for `count` numbers, ten bytes each at most, so that the writers below need not look. */
  reserve(count: number): void {
    const needed = this.length + count * 10;
    if (needed <= this.bytes.length) return;
    const larger = new Uint8Array(needed * 2);
    larger.set(this.bytes.subarray(0, this.length));
    this.bytes = larger;
  }

  byte(value: number): void {
    this.bytes[this.length++] = value;
  }

  raw(values: Uint8Array): void {
    this.reserve(values.length);
    this.bytes.set(values, this.length);
    this.length += values.length;
  }

  signed(value: number): void {
    const bytes = this.bytes;
    let at = this.length;
    if (value < 0x3fff_ffff && value > -0x3fff_ffff) {
      let z = (value << 1) ^ (value >> 31);
      while (z > 0x7f) {
        bytes[at++] = (z & 0x7f) | 0x80;
        z >>>= 7;
      }
      bytes[at++] = z;
    } else {
      let z = value < 0 ? -value * 2 - 1 : value * 2;
      while (z > 0x7f) {
        bytes[at++] = (z % 128) | 0x80;
        z = Math.floor(z / 128);
      }
      bytes[at++] = z;
    }
    this.length = at;
  }
}

/** Reads what `PackedBytes` wrote. Throws `RangeError` when the bytes end early or a number is too long. */
export class PackedReader {
  at = 0;
  private readonly bytes: Uint8Array;

  constructor(bytes: Uint8Array) {
    this.bytes = bytes;
  }

  byte(): number {
    const value = this.bytes[this.at++];
    if (value === undefined) throw new RangeError('the packed numbers end early');
    return value;
  }

  raw(count: number): Uint8Array {
    if (this.at + count > this.bytes.length) throw new RangeError('the packed bytes end early');
    this.at += count;
    return this.bytes.subarray(this.at - count, this.at);
  }

  signed(): number {
    const first = this.byte();
    if (first < 0x80) return (first >>> 1) ^ -(first & 1);
    const second = this.byte();
    if (second < 0x80) {
      const z = (first & 0x7f) | (second << 7);
      return (z >>> 1) ^ -(z & 1);
    }
    return this.longSigned((first & 0x7f) | ((second & 0x7f) << 7));
  }

  private longSigned(low: number): number {
    let z = low;
    let place = 16_384;
    for (;;) {
      const byte = this.byte();
      z += (byte & 0x7f) * place;
      if (byte < 0x80) break;
      place *= 128;
      if (place > largestPacked * 4) throw new RangeError('a packed number is too long');
    }
    return z % 2 === 0 ? z / 2 : -(z + 1) / 2;
  }
}
