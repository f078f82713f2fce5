import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checksumOf, frameSentence, NmeaError } from '../../../host/outputs/nmea/sentence.js';
import { encodeXdr, type Measurement } from '../../../host/outputs/nmea/xdr.js';
import { decodeXdr } from './decode-xdr.js';

type Example = {
  sentence: string;
  talker: string;
  checksum: string;
  measurements: { type: string; value: number; units: string | null; id: string | null }[];
  irregular?: string;
};
/** NMEA 0183 XDR examples; see the head of the file for their source. */
const table: {
  examples: Example[];
  wrong_checksum_examples: { sentence: string; expected_checksum: string }[];
} = JSON.parse(readFileSync(new URL('../../tables/nmea0183-xdr.json', import.meta.url), 'utf8'));

const withoutNulls = (m: Example['measurements'][number]): Measurement => ({
  type: m.type,
  value: m.value,
  ...(m.units === null ? {} : { units: m.units }),
  ...(m.id === null ? {} : { id: m.id }),
});

describe('the published XDR sentences', () => {
  it('are seven, with two that carry a wrong checksum', () => {
    expect([table.examples.length, table.wrong_checksum_examples.length]).toEqual([7, 2]);
  });

  it.each(table.examples)('$sentence decodes to its published measurements', (example) => {
    const decoded = decodeXdr(`${example.sentence}\r\n`);
    expect(decoded.talker).toBe(example.talker);
    expect(decoded.measurements).toEqual(example.measurements.map(withoutNulls));
    expect(decoded.surplusFields).toBe(example.irregular ? 1 : 0);
  });

  it.each(table.examples)('$sentence has the published checksum', ({ sentence, checksum }) => {
    expect(checksumOf(sentence.slice(1, sentence.indexOf('*')))).toBe(checksum);
  });

  it('are encoded to the very same characters where the device wrote plain numbers', () => {
    const plain = table.examples.filter((e) => !e.irregular && !/,[+]|,0\d/.test(e.sentence));
    expect(plain.length).toBe(4);
    for (const example of plain)
      expect(encodeXdr(example.talker, example.measurements.map(withoutNulls))).toEqual([
        `${example.sentence}\r\n`,
      ]);
  });

  it.each(table.wrong_checksum_examples)('$sentence is refused and the right checksum named', (wrong) => {
    expect(() => decodeXdr(wrong.sentence)).toThrow(
      new RegExp(`where ${wrong.expected_checksum} was expected`),
    );
  });
});

describe('encoding', () => {
  const temperature = (id: string, value?: number): Measurement =>
    value === undefined ? { type: 'C', units: 'C', id } : { type: 'C', value, units: 'C', id };

  it('sends an empty value for a reading that is missing', () => {
    const [sentence] = encodeXdr('YX', [temperature('port-elbow')]);
    expect(sentence).toMatch(/^\$YXXDR,C,,C,port-elbow\*[0-9A-F]{2}\r\n$/);
    expect(decodeXdr(sentence ?? '').measurements).toEqual([temperature('port-elbow')]);
  });

  it('never passes 82 characters and drops no measurement, whatever the names', () => {
    const id = fc.stringMatching(/^[a-z][a-z0-9-]{0,39}$/);
    const value = fc.option(
      fc.integer({ min: -2000, max: 14000 }).map((tenths) => tenths / 10),
      { nil: undefined },
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(id, value), { maxLength: 32 }), (pairs) => {
        const measurements = pairs.map(([name, v]) => temperature(name, v));
        const sentences = encodeXdr('YX', measurements);
        expect(Math.max(0, ...sentences.map((s) => s.length))).toBeLessThanOrEqual(82);
        expect(sentences.flatMap((s) => decodeXdr(s).measurements)).toEqual(measurements);
      }),
    );
  });

  it.each(['a,b', 'a*b', 'a$b', 'a!b', 'a\\b', 'a^b', 'a~b', 'é', 'a\nb'])('refuses the name %j', (id) => {
    expect(() => encodeXdr('YX', [temperature(id, 20)])).toThrow(NmeaError);
  });

  it('refuses a name that leaves no room in a sentence of 82', () => {
    expect(() => encodeXdr('YX', [temperature('x'.repeat(70), 20)])).toThrow(/longer than the 82/);
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY])('refuses %d as a value', (value) => {
    expect(() => encodeXdr('YX', [temperature('a', value)])).toThrow(/not a number/);
  });
});

describe('decoding', () => {
  it('is not fooled by any single damaged character', () => {
    const sentence = '$SDXDR,C,23.15,C,WTHI*70';
    let believed = 0;
    for (let at = 0; at < sentence.length; at++)
      for (let bit = 0; bit < 7; bit++) {
        const damaged =
          sentence.slice(0, at) +
          String.fromCharCode(sentence.charCodeAt(at) ^ (1 << bit)) +
          sentence.slice(at + 1);
        try {
          const { measurements } = decodeXdr(damaged);
          if (measurements[0]?.value !== 23.15) believed++;
        } catch (error) {
          expect(error).toBeInstanceOf(NmeaError);
        }
      }
    expect(believed).toBe(0);
  });

  it.each([
    ['a measurement cut short', frameSentence(['YXXDR', 'C', '20.0', 'C'])],
    ['a value that is no number', frameSentence(['YXXDR', 'C', 'warm', 'C', 'a'])],
    ['another sentence', frameSentence(['YXMTW', '20.0', 'C'])],
    ['no type', frameSentence(['YXXDR', '', '20.0', 'C', 'a'])],
    ['no checksum', '$YXXDR,C,20.0,C,a'],
  ])('refuses %s', (_what, line) => {
    expect(() => decodeXdr(line)).toThrow(NmeaError);
  });
});
