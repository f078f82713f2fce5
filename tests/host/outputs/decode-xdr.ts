import { checksumOf, NmeaError } from '../../../host/outputs/nmea/sentence.js';
import type { Measurement } from '../../../host/outputs/nmea/xdr.js';

/** What a display at the other end of the wire makes of a sentence; the kit itself only sends. */
export type XdrSentence = {
  /** Who talks, two letters: `YX` transducer, `II` integrated instruments. */
  readonly talker: string;
  readonly measurements: readonly Measurement[];
  /** Empty fields after the last complete measurement; some devices send one. */
  readonly surplusFields: number;
};

/** The fields of a sentence whose checksum holds, address field first. Throws NmeaError otherwise. */
export const unframeSentence = (line: string): readonly string[] => {
  const text = line.replace(/\r?\n$/, '');
  const match = /^\$([\x20-\x7d]*)\*([0-9A-Fa-f]{2})$/.exec(text);
  if (!match) throw new NmeaError(`Not an NMEA 0183 sentence with a checksum: ${JSON.stringify(text)}`);
  const [, body = '', given = ''] = match;
  const expected = checksumOf(body);
  if (given.toUpperCase() !== expected)
    throw new NmeaError(`Checksum ${given} where ${expected} was expected: ${JSON.stringify(text)}`);
  return body.split(',');
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
