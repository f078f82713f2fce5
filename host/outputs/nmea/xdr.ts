import { frameSentence, longestSentence, NmeaError, unframeSentence } from './sentence.js';

/** One transducer measurement. An absent value is a null field on the wire: the display shows dashes, not an old number. */
export type Measurement = {
  /** NMEA 0183 transducer type: `C` temperature, `P` pressure, `A` angle, ... */
  readonly type: string;
  readonly value?: number;
  /** `C` degree Celsius, `B` bar, ...; absent where the type has no unit. */
  readonly units?: string;
  readonly id?: string;
};

export type XdrSentence = {
  /** Who talks, two letters: `YX` transducer, `II` integrated instruments. */
  readonly talker: string;
  readonly measurements: readonly Measurement[];
  /** Empty fields after the last complete measurement; some devices send one. */
  readonly surplusFields: number;
};

const numberText = (value: number): string => {
  if (!Number.isFinite(value)) throw new NmeaError(`${value} is not a number that can be sent`);
  const text = String(value);
  return text.includes('e') ? value.toFixed(6) : text;
};

const fieldsOf = (m: Measurement): readonly string[] => [
  m.type,
  m.value === undefined ? '' : numberText(m.value),
  m.units ?? '',
  m.id ?? '',
];

/**
 * XDR sentences with as many measurements each as 82 characters hold, in order, nothing dropped.
 * Throws NmeaError when one measurement alone does not fit or carries a reserved character.
 * Source: NMEA 0183, XDR transducer measurement sentence.
 */
export const encodeXdr = (talker: string, measurements: readonly Measurement[]): readonly string[] => {
  const address = `${talker}XDR`;
  const sentences: string[] = [];
  let fields: string[] = [];
  const lengthWith = (more: readonly string[]) =>
    [address, ...fields, ...more].join(',').length + '$*hh\r\n'.length;
  for (const measurement of measurements) {
    const next = fieldsOf(measurement);
    if (fields.length > 0 && lengthWith(next) > longestSentence) {
      sentences.push(frameSentence([address, ...fields]));
      fields = [];
    }
    fields.push(...next);
  }
  if (fields.length > 0) sentences.push(frameSentence([address, ...fields]));
  return sentences;
};

const decodeMeasurement = (fields: readonly string[], line: string): Measurement => {
  const [type = '', valueText = '', units = '', id = ''] = fields;
  if (type === '') throw new NmeaError(`A measurement without a type: ${JSON.stringify(line)}`);
  if (valueText !== '' && !/^[+-]?\d+(\.\d*)?$|^[+-]?\.\d+$/.test(valueText))
    throw new NmeaError(`${JSON.stringify(valueText)} is not a number: ${JSON.stringify(line)}`);
  return {
    type,
    ...(valueText === '' ? {} : { value: Number(valueText) }),
    ...(units === '' ? {} : { units }),
    ...(id === '' ? {} : { id }),
  };
};

/** Reads one XDR sentence, checksum checked. Throws NmeaError for a damaged line or another sentence. */
export const decodeXdr = (line: string): XdrSentence => {
  const [address = '', ...fields] = unframeSentence(line);
  if (!/^[A-Z][A-Z0-9]XDR$/.test(address)) throw new NmeaError(`${address} is not an XDR sentence`);
  const surplusFields = fields.length % 4;
  if (fields.slice(fields.length - surplusFields).some((field) => field !== ''))
    throw new NmeaError(
      `XDR carries groups of four fields, this one has ${fields.length}: ${JSON.stringify(line)}`,
    );
  const measurements: Measurement[] = [];
  for (let at = 0; at + 4 <= fields.length; at += 4)
    measurements.push(decodeMeasurement(fields.slice(at, at + 4), line));
  return { talker: address.slice(0, 2), measurements, surplusFields };
};
