import { RoomError } from '../../../node/index.js';
/** A line that is not an NMEA 0183 sentence, or not the one asked for. The message says what was met. */
export class NmeaError extends RoomError {
  readonly code = 'nmea-sentence';
  readonly errorCategory = 'usage';
}

/** NMEA 0183: 82 characters at most, counted from the `$` through CR and LF. */
export const longestSentence = 82;

/** Characters NMEA 0183 keeps for its own framing; a name or value that carries one would break the sentence. */
const reserved = /[^\x20-\x7d]|[$*,!\\^]/;

/** XOR of every character between `$` and `*`, both excluded, as two upper-case hexadecimal digits. */
export const checksumOf = (body: string): string => {
  let sum = 0;
  for (const character of body) sum ^= character.charCodeAt(0);
  return sum.toString(16).toUpperCase().padStart(2, '0');
};

/**
 * `['YXXDR', 'C', '72.4', 'C', 'port-elbow']` becomes `$YXXDR,C,72.4,C,port-elbow*hh` with CR and LF.
 * Throws NmeaError when a field carries a reserved character or the whole is longer than 82.
 */
export const frameSentence = (fields: readonly string[]): string => {
  for (const field of fields) {
    if (reserved.test(field))
      throw new NmeaError(
        `The field ${JSON.stringify(field)} cannot go into an NMEA 0183 sentence: only plain ASCII without $ * , ! \\ ^ ~`,
      );
  }
  const body = fields.join(',');
  const sentence = `$${body}*${checksumOf(body)}\r\n`;
  if (sentence.length > longestSentence)
    throw new NmeaError(
      `A sentence of ${sentence.length} characters is longer than the ${longestSentence} of NMEA 0183: ${body}`,
    );
  return sentence;
};
