import { BoardError } from '../board-error.js';
import type { BytePort } from '../byte-port.js';
import { openerFor } from '../connection.js';
import { openSerialPort } from '../serial-port.js';
import { isLikelyBoard, listUsbPorts } from '../usb-ports.js';
import { stockFirmware, stockMegaFirmware } from './firmware-image.js';
import { type FlashedBoard, type FlashProgress, flashBoard, identify } from './flash-board.js';
import { type FlashableBoard, flashableBoards } from './flashable-boards.js';

/** The newest of the stock firmwares that the packages bring for each chip at 16 MHz. */
const firmwares: Record<FlashableBoard, { readonly version: string; readonly read: () => Uint16Array }> = {
  uno: { version: '2.5', read: () => stockFirmware('2.5') },
  'nano-old': { version: '2.5', read: () => stockFirmware('2.5') },
  mega: { version: '2.3', read: stockMegaFirmware },
};

/** A server that serves one client at a time may not have noticed that the last one disconnected. */
const reopenAfterMs = 500;

export type FlashOptions = {
  readonly connection: string;
  readonly board: FlashableBoard;
  readonly onProgress: (progress: FlashProgress) => void;
  /** Called when the board does not answer as the one it should be, and before it is asked as another. */
  readonly onAskedAs: (board: FlashableBoard) => void;
};

/**
 * Puts StandardFirmata on the board at `connection` (`auto`, a serial path, or tcp://host:port).
 * Throws BoardError; nothing is written unless the bootloader names the chip the program is for. A board that
 * answers only as another than `board` is refused with the word that it is.
 */
export async function flashStockFirmware(
  options: FlashOptions,
): Promise<FlashedBoard & { readonly port: string; readonly version: string }> {
  const { board, onProgress } = options;
  await refuseToChoose(options.connection);
  const { version, read } = firmwares[board];
  const words = read();
  const image = new Uint8Array(words.buffer, words.byteOffset, words.byteLength);
  let label = options.connection;
  try {
    const flashed = await atBootloader(options.connection, board, (port) => {
      label = port.label;
      return flashBoard(port, board, image, onProgress);
    });
    return { ...flashed, port: label, version };
  } catch (cause) {
    if (!(cause instanceof BoardError) || cause.code !== 'no-bootloader') throw cause;
    throw (await asAnother(label, options)) ?? cause;
  }
}

/** Overwriting the wrong one of two boards cannot be undone. */
async function refuseToChoose(connection: string): Promise<void> {
  if (connection !== 'auto') return;
  const paths = (await listUsbPorts()).filter(isLikelyBoard).map(({ path }) => path);
  if (paths.length > 1)
    throw new BoardError(
      'bad-connection',
      `${paths.length} boards are plugged in: ${paths.join(', ')}. Nothing was written. Say which: elbowroom flash ${paths[0]}`,
    );
}

/** Behind a socket the speed is not ours to set, so boards that differ in nothing else are asked once. */
async function asAnother(connection: string, { board, onAskedAs }: FlashOptions) {
  const asked = flashableBoards[board];
  const spoken: unknown[] = [asked.speak];
  for (const other of Object.keys(flashableBoards) as FlashableBoard[]) {
    const { name, speak } = flashableBoards[other];
    if (other === board || (connection.startsWith('tcp://') && spoken.includes(speak))) continue;
    spoken.push(speak);
    onAskedAs(other);
    await new Promise((resolve) => setTimeout(resolve, reopenAfterMs));
    const found = await atBootloader(connection, other, (port) => identify(port, other)).catch(
      () => undefined,
    );
    if (found !== undefined)
      return new BoardError(
        'wrong-chip',
        `The board at ${connection} is no ${asked.name}: it answers as ${name}. Nothing was written. If that is the board you mean: elbowroom flash ${connection} --board ${other}`,
      );
  }
  return undefined;
}

/** Opens the port at the board's speed, resets the board into its bootloader, and frees the port afterwards. */
async function atBootloader<Result>(
  connection: string,
  board: FlashableBoard,
  act: (port: BytePort) => Promise<Result>,
): Promise<Result> {
  const { baud } = flashableBoards[board];
  const opener = openerFor(connection, {
    listUsbPorts,
    openSerial: (path) => openSerialPort(path, baud),
  });
  const port = await opener.open().catch((cause: Error) => {
    throw new BoardError('no-port', cause.message, { cause });
  });
  try {
    await port.pulseReset?.();
    return await act(port);
  } finally {
    await port.close();
  }
}
