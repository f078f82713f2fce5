import { stockFirmware } from '../../bench/board/firmware-image.js';
import { BoardError } from '../board-error.js';
import type { BytePort } from '../byte-port.js';
import { openerFor } from '../connection.js';
import { openSerialPort } from '../serial-port.js';
import { listUsbPorts } from '../usb-ports.js';
import {
  type FlashableBoard,
  type FlashedBoard,
  type FlashProgress,
  flashableBoards,
  flashBoard,
} from './flash-board.js';

/** The newest of the stock firmwares that the packages bring; built for the ATmega328P at 16 MHz. */
const flashedVersion = '2.5';

export type FlashOptions = {
  readonly connection: string;
  readonly board: FlashableBoard;
  readonly onProgress: (progress: FlashProgress) => void;
};

/**
 * Puts StandardFirmata on the board at `connection` (`auto`, a serial path, or tcp://host:port).
 * Throws BoardError; nothing is written unless the bootloader names the chip the program is for.
 */
export async function flashStockFirmware(
  options: FlashOptions,
): Promise<FlashedBoard & { readonly port: string; readonly version: string }> {
  const { baud } = flashableBoards[options.board];
  const opener = openerFor(options.connection, {
    listUsbPorts,
    openSerial: (path) => openSerialPort(path, baud),
  });
  let port: BytePort;
  try {
    port = await opener.open();
  } catch (cause) {
    throw new BoardError('no-port', (cause as Error).message, { cause });
  }
  try {
    await port.pulseReset?.();
    const words = stockFirmware(flashedVersion);
    const image = new Uint8Array(words.buffer, words.byteOffset, words.byteLength);
    const flashed = await flashBoard(port, image, options.onProgress);
    return { ...flashed, port: port.label, version: flashedVersion };
  } finally {
    await port.close();
  }
}
