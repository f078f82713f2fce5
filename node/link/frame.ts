import { crc32 } from 'node:zlib';

/**
 * A frame is one line: eight hex digits of CRC-32 (ISO-HDLC, as in zlib and Ethernet) over the UTF-8 bytes of
 * the JSON that follows, one space, the JSON, a line feed. JSON escapes line feeds, so a frame never holds one.
 */
export const encodeFrame = (value: unknown): string => {
  const json = JSON.stringify(value);
  return `${checksum(json)} ${json}\n`;
};

/** The longest line either side believes, in characters; anything longer is noise on the wire. */
export const longestFrame = 262_144;

export type DecodedFrame =
  | { readonly ok: true; readonly value: unknown }
  | { readonly ok: false; readonly why: 'too-long' | 'no-checksum' | 'checksum-differs' | 'not-json' };

/** Takes a line without its line feed. A damaged line is a value and not an exception: on a wire it will happen. */
export const decodeFrame = (line: string): DecodedFrame => {
  if (line.length > longestFrame) return { ok: false, why: 'too-long' };
  const head = /^([0-9a-f]{8}) /.exec(line);
  if (!head) return { ok: false, why: 'no-checksum' };
  const json = line.slice(9);
  if (checksum(json) !== head[1]) return { ok: false, why: 'checksum-differs' };
  try {
    return { ok: true, value: JSON.parse(json) };
  } catch {
    return { ok: false, why: 'not-json' };
  }
};

const checksum = (json: string): string => crc32(json).toString(16).padStart(8, '0');
