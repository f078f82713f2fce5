import { describe, expect, it } from 'vitest';
import { stockFirmware } from '../../../node/board/flash/firmware-image.js';
import { flashBoard } from '../../../node/board/flash/flash-board.js';
import { type BootloaderFaults, ScriptedBootloader } from './scripted-bootloader.js';

const firmware = () => new Uint8Array(stockFirmware('2.5').buffer);

async function flash(faults: BootloaderFaults, image = firmware()) {
  const board = new ScriptedBootloader(faults);
  const outcome = await flashBoard(board, 'uno', image, () => {}).catch((error) => error);
  return { board, outcome };
}

/** What no real bootloader shows on demand; the real ones are flashed in tests/bench/flash-boards.test.ts. */
describe('a bootloader that is not as it should be', () => {
  it('on a chip that is another than the program is for gets nothing, and the chip is named', async () => {
    // An ATmega328PB, DS40001906, section "Signature bytes": pin for pin like the 328P, and not the same chip.
    const { board, outcome } = await flash({ signature: [0x1e, 0x95, 0x16] });
    expect(outcome).toMatchObject({ code: 'wrong-chip', message: expect.stringContaining('1e 95 16') });
    expect(outcome).toMatchObject({ message: expect.stringContaining('Nothing was written') });
    expect(board.pagesWritten).toBe(0);
  });

  it('with a byte that cannot be written: the byte is named', async () => {
    const { outcome } = await flash({ badByte: 1000 });
    expect(outcome).toMatchObject({ code: 'not-written', message: expect.stringContaining('Byte 1000 ') });
  });

  it('that says nothing: what to try', async () => {
    const { outcome } = await flash({ says: [] });
    expect(outcome).toMatchObject({ code: 'no-bootloader', message: expect.stringContaining('nothing') });
    expect(outcome).toMatchObject({
      message: expect.stringMatching(/reset button.*--board: uno, nano-old, mega/),
    });
  });

  it('that says garbage: the garbage is reported', async () => {
    const { board, outcome } = await flash({ says: [0xc0, 0xff, 0x14, 0x33] });
    expect(outcome).toMatchObject({ code: 'no-bootloader' });
    expect(outcome).toMatchObject({ message: expect.stringContaining('it says c0 ff 14 33') });
    expect(board.pagesWritten).toBe(0);
  });

  it('and a program that reaches it: 30,720 bytes fit, 30,721 do not', async () => {
    const image = (bytes: number) => new Uint8Array(32_768).fill(0xff).fill(1, 0, bytes);
    expect((await flash({}, image(30_720))).outcome).toMatchObject({ pages: 240 });
    const { board, outcome } = await flash({}, image(30_721));
    expect(outcome).toMatchObject({ code: 'not-written' });
    expect(board.pagesWritten).toBe(0);
  });
});
