import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { BoardMake } from '../../node/bench/board/emulated-board.js';
import { parseIntelHex } from '../../node/board/flash/firmware-image.js';
import type { FlashableBoard } from '../../node/board/flash/flashable-boards.js';
import { withBootSection } from './boot-section.js';
import { atmega328p, atmega2560, type BootableChip } from './bootable-chips.js';

/** Where `system-packages.ts` unpacks Debian's arduino-core-avr when it is not installed. */
export const unpackedBootloaders = fileURLToPath(
  new URL('../../node_modules/.cache/bootloaders', import.meta.url),
);
const folder = 'usr/share/arduino/hardware/arduino/avr/bootloaders';

export const bootloaderFiles = (): string | undefined =>
  [`/${folder}`, `${unpackedBootloaders}/${folder}`].find((path) => existsSync(path));

/** A board as it leaves the factory: its bootloader, and nothing else in its flash. */
export function factoryBoard(board: FlashableBoard): {
  readonly flash: Uint16Array;
  readonly make: BoardMake;
  readonly bootFromByte: number;
} {
  switch (board) {
    case 'uno':
      return optiboot();
    case 'nano-old':
      return shipped('atmega/ATmegaBOOT_168_atmega328.hex', atmega328p, 0x7800);
    case 'mega':
      return shipped('stk500v2/stk500boot_v2_mega2560.hex', atmega2560, 0x3e000);
  }
}

/** `bootFromByte` is the boot section that the board's fuses name (the vendor's boards.txt). */
function shipped(file: string, chip: BootableChip, bootFromByte: number) {
  const { text, path } = read(file);
  const flash = parseIntelHex(text, path, chip.flashBytes);
  return { flash, make: withBootSection(chip, bootFromByte), bootFromByte };
}

/**
 * Debian compiles Optiboot itself, and since version 1.8.7 the code is 20 bytes longer than the section of 512
 * bytes it is linked for: it runs out of the flash, and the version word in the last two bytes falls into it.
 * All its jumps are relative, so without that word it runs as it is one section lower.
 */
function optiboot() {
  const { text, path } = read('optiboot/optiboot_atmega328.hex');
  const sectionBytes = 512;
  const { flashBytes } = atmega328p;
  const linked = parseIntelHex(text.replace(/^:027FFE00.*$/m, ''), path, flashBytes + sectionBytes);
  const fits = linked.subarray(flashBytes / 2).every((word) => word === 0xffff);
  const flash = fits ? linked.slice(0, flashBytes / 2) : linked.slice(sectionBytes / 2);
  const bootFromByte = flashBytes - (fits ? 1 : 2) * sectionBytes;
  return { flash, make: withBootSection(atmega328p, bootFromByte), bootFromByte };
}

function read(file: string) {
  const path = `${bootloaderFiles()}/${file}`;
  return { text: readFileSync(path, 'utf8'), path };
}
