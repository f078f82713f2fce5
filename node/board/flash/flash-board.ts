import { BoardError } from '../board-error.js';
import type { BytePort } from '../byte-port.js';
import type { Bootloader } from './bootloader.js';
import { type FlashableBoard, flashableBoards } from './flashable-boards.js';
import { hex, PortStream } from './port-stream.js';

export type FlashProgress = {
  readonly doing: 'writing' | 'checking';
  /** From above 0 to 1. */
  readonly share: number;
};

export type FlashedBoard = { readonly bytes: number; readonly pages: number };

/**
 * Writes a program into a board through its bootloader, reads every page back and compares it. The port must be
 * open at the board's speed. Throws BoardError `no-bootloader`, `wrong-chip` before anything is written,
 * `not-written` after; the bootloader itself is never touched, so it can be tried again.
 */
export async function flashBoard(
  port: BytePort,
  board: FlashableBoard,
  image: Uint8Array,
  onProgress: (progress: FlashProgress) => void,
): Promise<FlashedBoard> {
  const { chip } = flashableBoards[board];
  const program = withoutErasedEnd(image);
  if (program.length > chip.bootloaderFrom)
    throw new BoardError(
      'not-written',
      `The program of ${program.length} bytes would overwrite the bootloader. Nothing was written.`,
    );
  const bootloader = await identify(port, board);
  const pages = pagesOf(program, chip.pageBytes);
  await bootloader.beginProgramming().catch((cause) => {
    throw new BoardError(
      'no-bootloader',
      `The bootloader does not begin programming (${cause.message}). Nothing was written; run the same command again.`,
      { cause },
    );
  });
  for (const { address, bytes } of pages) {
    await bootloader.writePage(address, bytes).catch(notWritten(`Writing stopped at byte ${address}`));
    onProgress({ doing: 'writing', share: Math.min(1, (address + bytes.length) / program.length) });
  }
  for (const { address, bytes } of pages) {
    const read = await bootloader
      .readPage(address, bytes.length)
      .catch(notWritten(`Reading back stopped at byte ${address}`));
    const wrongAt = bytes.findIndex((byte, index) => byte !== read[index]);
    if (wrongAt >= 0)
      notWritten(`Byte ${address + wrongAt} reads back as ${read[wrongAt]} instead of ${bytes[wrongAt]}`)();
    onProgress({ doing: 'checking', share: Math.min(1, (address + bytes.length) / program.length) });
  }
  // It may not answer, because it is starting the new program.
  await bootloader.leave().catch(() => {});
  return { bytes: program.length, pages: pages.length };
}

/** Finds the bootloader of `board` and no other. Throws BoardError `no-bootloader` or `wrong-chip`. */
export async function identify(port: BytePort, board: FlashableBoard): Promise<Bootloader> {
  const { chip, name, speak } = flashableBoards[board];
  const bootloader = await speak(new PortStream(port));
  await bootloader.sync().catch((cause: Error) => {
    throw new BoardError(
      'no-bootloader',
      `No bootloader of an ${name} answers at ${port.label} (${cause.message}). Nothing was written. Press the board's reset button just as you start again. If the board is another, name it with --board: ${Object.keys(flashableBoards).join(', ')}.`,
      { cause },
    );
  });
  const signature = await bootloader.signature().catch((cause: Error) => {
    throw new BoardError(
      'no-bootloader',
      `The bootloader at ${port.label} does not name its chip (${cause.message}). Nothing was written; run the same command again.`,
      { cause },
    );
  });
  if (hex(signature) !== hex(chip.signature))
    throw new BoardError(
      'wrong-chip',
      `The chip at ${port.label} says ${hex(signature)}; this program is for an ${chip.name}, which says ${hex(chip.signature)}. Nothing was written.`,
    );
  return bootloader;
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

function pagesOf(
  program: Uint8Array,
  pageBytes: number,
): { readonly address: number; readonly bytes: Uint8Array }[] {
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
