import { describe, expect, it } from 'vitest';
import { stockFirmware } from '../../../node/bench/board/firmware-image.js';
import { type FlashProgress, flashBoard } from '../../../node/board/flash/flash-board.js';
import { type BootloaderFaults, ScriptedBootloader } from './scripted-bootloader.js';

const firmware = () => new Uint8Array(stockFirmware('2.5').buffer);

async function flash(faults: BootloaderFaults, image = firmware()) {
  const board = new ScriptedBootloader(faults);
  const progress: FlashProgress[] = [];
  const outcome = await flashBoard(board, 'uno', image, (step) => progress.push(step)).catch(
    (error) => error,
  );
  return { board, progress, outcome };
}

describe('putting the stock firmware on an ATmega328P', () => {
  it('writes every byte, reads every byte back, and lets the board start', async () => {
    const { board, progress, outcome } = await flash({});
    expect(Buffer.compare(board.flash, firmware())).toBe(0);
    expect(outcome).toEqual({ bytes: expect.any(Number), pages: board.pagesWritten });
    expect(board.left).toBe(true);
    expect(progress.filter(({ share }) => share >= 1).map(({ doing }) => doing)).toEqual([
      'writing',
      'checking',
    ]);
  });

  it('calls again while the board still restarts', async () => {
    expect((await flash({ deafFor: 2 })).outcome).toMatchObject({ pages: expect.any(Number) });
  });

  it('writes nothing into a chip that is another than the program is for: an ATmega2560 is named', async () => {
    const { board, outcome } = await flash({ signature: [0x1e, 0x98, 0x01] });
    expect(outcome).toMatchObject({ code: 'wrong-chip', message: expect.stringContaining('1e 98 01') });
    expect(board.pagesWritten).toBe(0);
  });

  it('names a byte that reads back wrong', async () => {
    const { outcome } = await flash({ badByte: 1000 });
    expect(outcome).toMatchObject({ code: 'not-written', message: expect.stringContaining('Byte 1000 ') });
  });

  it('says how far it came when the cable comes off', async () => {
    const { outcome } = await flash({ diesAfterPages: 3 });
    expect(outcome).toMatchObject({
      code: 'not-written',
      message: expect.stringContaining('stopped at byte 384'),
    });
  });

  it('says what to try when no bootloader answers', async () => {
    const { outcome } = await flash({ dead: true });
    expect(outcome).toMatchObject({ code: 'no-bootloader', message: expect.stringContaining('nano-old') });
  });

  it('refuses a program that reaches the bootloader: 30,720 bytes fit, 30,721 do not', async () => {
    const image = (bytes: number) => new Uint8Array(32_768).fill(0xff).fill(1, 0, bytes);
    expect((await flash({}, image(30_720))).outcome).toMatchObject({ pages: 240 });
    const { board, outcome } = await flash({}, image(30_721));
    expect(outcome).toMatchObject({ code: 'not-written' });
    expect(board.pagesWritten).toBe(0);
  });
});
