import { BoardError } from '../board-error.js';
import type { BytePort } from '../byte-port.js';
import { Stk500Client } from './stk500-client.js';

/** Boards whose bootloader speaks STK500 version 1, and the speed it speaks at (the vendor's board list). */
export const flashableBoards = {
  uno: { name: 'Arduino Uno, or a Nano with the new bootloader', baud: 115_200 },
  'nano-old': { name: 'Arduino Nano with the old bootloader', baud: 57_600 },
} as const;
export type FlashableBoard = keyof typeof flashableBoards;

/** ATmega328P, data sheet section "Signature bytes"; its flash is written in pages of 128 bytes. */
const atmega328p = { signature: [0x1e, 0x95, 0x0f], pageBytes: 128 } as const;
/** Above this stands the largest bootloader in use; an image that reaches it would overwrite the way back. */
const bootloaderFrom = 0x7800;
/** The bootloader listens for about a second after a reset; each attempt waits half a second. */
const syncAttempts = 6;

export type FlashProgress = { readonly doing: 'writing' | 'checking'; readonly share: number };

export type FlashedBoard = { readonly bytes: number; readonly pages: number };

/**
 * Writes a program into an ATmega328P through its bootloader, reads every page back and compares it. The
 * port must be open at the board's speed. Throws BoardError `no-bootloader`, `wrong-chip` before anything is
 * written, `not-written` after; the bootloader itself is never touched, so it can be tried again.
 */
export async function flashBoard(
  port: BytePort,
  image: Uint8Array,
  onProgress: (progress: FlashProgress) => void,
): Promise<FlashedBoard> {
  const program = withoutErasedEnd(image);
  if (program.length > bootloaderFrom)
    throw new BoardError(
      'not-written',
      `The program of ${program.length} bytes would overwrite the bootloader.`,
    );
  const client = new Stk500Client(port);
  await identify(client);
  const pages = pagesOf(program);
  await client.enterProgramming().catch(notWritten('The bootloader does not begin programming'));
  for (const { address, bytes } of pages) {
    await client.writePage(address, bytes).catch(notWritten(`Writing stopped at byte ${address}`));
    onProgress({ doing: 'writing', share: (address + bytes.length) / program.length });
  }
  for (const { address, bytes } of pages) {
    const read = await client
      .readPage(address, bytes.length)
      .catch(notWritten(`Reading back stopped at byte ${address}`));
    const wrongAt = bytes.findIndex((byte, index) => byte !== read[index]);
    if (wrongAt >= 0)
      notWritten(`Byte ${address + wrongAt} reads back as ${read[wrongAt]} instead of ${bytes[wrongAt]}`)();
    onProgress({ doing: 'checking', share: (address + bytes.length) / program.length });
  }
  // It may leave without a word, being busy starting the new program.
  await client.leaveProgramming().catch(() => {});
  return { bytes: program.length, pages: pages.length };
}

async function identify(client: Stk500Client): Promise<void> {
  try {
    await client.sync(syncAttempts);
  } catch (cause) {
    throw new BoardError(
      'no-bootloader',
      `No bootloader of an Uno or a Nano answers (${(cause as Error).message}). Press the board's reset button just as you start again, or try the other speed: --board nano-old. A Mega or a Leonardo has another bootloader: use the Arduino IDE, File > Examples > Firmata > StandardFirmata.`,
      { cause },
    );
  }
  const signature = await client.readSignature().catch((cause: Error) => {
    throw new BoardError('no-bootloader', `The bootloader does not name its chip (${cause.message}).`, {
      cause,
    });
  });
  if (signature.some((byte, index) => byte !== atmega328p.signature[index])) {
    const met = signature.map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
    throw new BoardError(
      'wrong-chip',
      `The chip says ${met}; this program is for an ATmega328P, which says 1e 95 0f. Nothing was written.`,
    );
  }
}

const notWritten =
  (what: string) =>
  (cause?: Error): never => {
    const why = cause === undefined ? '' : ` (${cause.message})`;
    throw new BoardError(
      'not-written',
      `${what}${why}. The board has no whole program now; its bootloader is unharmed. Check the cable and run the same command again.`,
      { cause },
    );
  };

function pagesOf(program: Uint8Array): { readonly address: number; readonly bytes: Uint8Array }[] {
  const { pageBytes } = atmega328p;
  return Array.from({ length: Math.ceil(program.length / pageBytes) }, (_, page) => {
    const bytes = new Uint8Array(pageBytes).fill(0xff);
    bytes.set(program.subarray(page * pageBytes, (page + 1) * pageBytes));
    return { address: page * pageBytes, bytes };
  });
}

/** Erased flash reads 0xff; there is no use in writing that. */
function withoutErasedEnd(image: Uint8Array): Uint8Array {
  const last = image.findLastIndex((byte) => byte !== 0xff);
  return image.subarray(0, last + 1);
}
