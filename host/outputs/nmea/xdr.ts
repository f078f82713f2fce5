import { frameSentence, longestSentence, NmeaError } from './sentence.js';

/** One transducer measurement. An absent value is a null field on the wire: the display shows dashes, not an old number. */
export type Measurement = {
  /** NMEA 0183 transducer type: `C` temperature, `P` pressure, `A` angle, ... */
  readonly type: string;
  readonly value?: number;
  /** `C` degree Celsius, `B` bar, ...; absent where the type has no unit. */
  readonly units?: string;
  readonly id?: string;
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
