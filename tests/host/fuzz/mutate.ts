import { makeRandom } from '../../../node/bench/plant/random.js';

/** Makes damaged copies of texts: bits flipped, bytes lost, doubled, moved, cut off, or taken from another text. */
export const mutator = (seed: number) => {
  const random = makeRandom(seed);
  const below = (n: number) => Math.floor(random.next() * n);
  const changes: ((bytes: Buffer, other: Buffer) => Buffer)[] = [
    (bytes) => {
      const out = Buffer.from(bytes);
      const at = below(out.length);
      out[at] = (out[at] ?? 0) ^ (1 << below(8));
      return out;
    },
    (bytes) => {
      const out = Buffer.from(bytes);
      out[below(out.length)] = below(256);
      return out;
    },
    (bytes) => {
      const at = below(bytes.length);
      return Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + 1 + below(8))]);
    },
    (bytes) => {
      const at = below(bytes.length);
      return Buffer.concat([bytes.subarray(0, at), bytes.subarray(Math.max(0, at - below(16)))]);
    },
    (bytes) => bytes.subarray(0, below(bytes.length)),
    (bytes, other) =>
      Buffer.concat([bytes.subarray(0, below(bytes.length)), other.subarray(below(other.length))]),
    (bytes) => {
      const at = below(bytes.length);
      const nasty = [
        '\0',
        '"',
        '\\',
        ',',
        '=',
        ' ',
        '-',
        'e999',
        'NaN',
        '1e308',
        '\uFEFF',
        '{}',
        '[',
        '__proto__',
      ];
      return Buffer.concat([
        bytes.subarray(0, at),
        Buffer.from(nasty[below(nasty.length)] ?? ''),
        bytes.subarray(at),
      ]);
    },
  ];
  return (texts: readonly Buffer[]): Buffer => {
    const pick = () => texts[below(texts.length)] as Buffer;
    let bytes = pick();
    for (let n = 1 + below(3); n > 0 && bytes.length > 0; n--)
      bytes = (changes[below(changes.length)] as (typeof changes)[number])(bytes, pick());
    return bytes;
  };
};
