import { describe, expect, it } from 'vitest';
import {
  firmwareVersions,
  parseIntelHex,
  stockFirmware,
  stockMegaFirmware,
} from '../../../node/board/flash/firmware-image.js';
import { atmega2560 } from '../../bench/bootable-chips.js';

describe('the stock firmware image', () => {
  it.each(firmwareVersions)('%s starts with a jump and leaves room in the flash', (version) => {
    const words = stockFirmware(version);
    expect(words).toHaveLength(0x4000);
    // JMP k is 1001 010k kkkk 110k (AVR instruction set manual DS40002198); every image starts with its reset vector.
    expect((words[0] ?? 0) & 0xfe0e).toBe(0x940c);
    expect(words.at(-1)).toBe(0xffff);
  });

  it('for a Mega fills a flash of 256 KiB and starts with a jump', () => {
    const words = stockMegaFirmware();
    expect(words).toHaveLength(0x2_0000);
    // This one was linked with the short form, RJMP k: 1100 kkkk kkkk kkkk.
    expect((words[0] ?? 0) & 0xf000).toBe(0xc000);
    expect(words.at(-1)).toBe(0xffff);
  });

  const end = ':00000001FF';
  it('places the bytes of a record at its address, low byte first', () => {
    // Data 0C 94 at address 0x0002: sum 02 + 00 + 02 + 00 + 0C + 94 = A4, so the checksum is 5C.
    expect(parseIntelHex(`:020002000C945C\n${end}\n`, 'x').slice(0, 3)).toEqual(
      Uint16Array.of(0xffff, 0x940c, 0xffff),
    );
  });

  it.each([
    [':020002000C945D', 'line 1: checksum'],
    ['020002000C945C', 'line 1: not an Intel HEX record'],
    [':030002000C945B', 'line 1: length byte'],
    [':020002000C945C\n:00000006FA', 'line 2: record type 6'],
    [':03000002F000000B', 'line 1: an address of another length'],
    [':020002000C945C\n', 'without an end-of-file record'],
  ])('refuses %j', (text, message) => {
    expect(() => parseIntelHex(`${text}\n`, 'cut.hex')).toThrow(message);
  });

  it.each([
    // Segment 3000 is byte 0x30000, upper address 0003 the same; checksums by hand.
    [':020000023000CC'],
    [':020000040003F7'],
  ])('goes beyond 64 KiB at %s', (record) => {
    const words = parseIntelHex(`${record}\n:020002000C945C\n${end}`, 'x', atmega2560.flashBytes);
    expect(words.slice(0x1_8000, 0x1_8003)).toEqual(Uint16Array.of(0xffff, 0x940c, 0xffff));
  });

  it('refuses data beyond the flash', () => {
    // 02 + 7F + FF + 00 + 0C + 94 = 0x220, checksum E0.
    expect(() => parseIntelHex(`:027FFF000C94E0\n${end}`, 'x')).toThrow('beyond the flash');
  });
});
