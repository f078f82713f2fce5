import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { stockFirmware, stockMegaFirmware } from '../../node/board/flash/firmware-image.js';
import { type FlashProgress, flashBoard, identify } from '../../node/board/flash/flash-board.js';
import type { FlashableBoard } from '../../node/board/flash/flashable-boards.js';
import { LiveBoard } from '../../node/board/live-board.js';
import { flashableBoards } from '../../node/index.js';
import { isLong } from '../long-form.js';
import { useEmulatedTimers } from './board-rig.js';
import { steppedFactoryBoard } from './bootloader-rig.js';

/** Real bootloaders, as Debian packs them, in the emulated chip: the library programs them on emulated time. */
beforeEach(useEmulatedTimers);
afterEach(() => {
  vi.useRealTimers();
});

/** Firmata protocol 2.x, as published at github.com/firmata/protocol. */
const reportVersion = 0xf9;

const boards = [
  { board: 'uno', words: stockFirmware('2.5'), version: [2, 5], analog: 'A5', output: 13, input: 12 },
  { board: 'nano-old', words: stockFirmware('2.5'), version: [2, 5], analog: 'A5', output: 2, input: 7 },
  { board: 'mega', words: stockMegaFirmware(), version: [2, 3], analog: 'A15', output: 53, input: 30 },
] as const;
const imageOf = (words: Uint16Array) => Buffer.from(words.buffer, words.byteOffset, words.byteLength);

/** The old Nano is an Uno at another speed, and a cable is pulled on an Uno as on a Mega: these two only in the long form. */
const fromFactory = boards.filter(({ board }) => isLong || board !== 'nano-old');
const interrupted = boards.filter(({ board }) => board === 'uno' || (isLong && board === 'mega'));

describe.each(fromFactory)('a $board from the factory', ({ board: kind, words, version, ...pins }) => {
  it('gets the stock firmware, byte for byte, and runs it', async () => {
    const { bench, board, cable, during, emulation, ...flash } = steppedFactoryBoard(kind);
    const progress: FlashProgress[] = [];
    let baud = 0;
    const port = await cable.open();
    const done = await during(
      flashBoard(port, kind, imageOf(words), (step) => {
        progress.push(step);
        baud = emulation.board.baud ?? 0;
      }),
    );
    await port.close();

    const program = flash.program();
    expect(program.equals(imageOf(words).subarray(0, program.length))).toBe(true);
    expect(flash.bootSectionAsSold.some((byte) => byte !== 0xff)).toBe(true);
    expect(flash.bootSection().equals(flash.bootSectionAsSold)).toBe(true);
    expect(done.bytes).toBe(program.findLastIndex((byte) => byte !== 0xff) + 1);
    expect(progress.filter(({ doing }) => doing === 'writing')).toHaveLength(done.pages);
    expect(progress.at(-1)).toEqual({ doing: 'checking', share: 1 });
    // 16 MHz makes 117,647 of 115,200 and 58,824 of 57,600: 2.1 % off, which a serial line bears.
    expect(Math.abs(baud / flashableBoards[kind].baud - 1)).toBeLessThan(0.025);

    // The bootloader was ordered to leave: the firmware introduces itself without another reset.
    const received: number[] = [];
    emulation.line.open((bytes) => received.push(...bytes));
    await board.advanceUntil(() => received.join().includes([reportVersion, ...version].join()), 5);
    emulation.line.close();

    // And as the node has it: opening resets the board into its bootloader first.
    const link = new LiveBoard(cable, board.clock);
    bench.analog.set(Number(pins.analog.slice(1)), 321.5);
    bench.levels.set(pins.input, true);
    let counts: number | undefined;
    link.analogInput(pins.analog).onCounts((value) => {
      counts = value;
    });
    let level: boolean | undefined;
    link.digitalInput(pins.input, { pullUp: false }).onLevel((high) => {
      level = high;
    });
    link.digitalOutput(pins.output).write(true);
    await board.advanceUntil(
      () => counts === 321 && level === true && bench.lastLevel(pins.output) === true,
      20,
    );
    expect(link.status()).toMatchObject({
      state: 'connected',
      firmware: `StandardFirmata.ino ${version.join('.')}`,
      detail: expect.not.stringContaining('no pin'),
    });
    await link.close();
  });
});

describe.each(interrupted)('a $board', ({ board: kind, words }) => {
  it('left with half a program by a pulled cable says so, and the second try succeeds', async () => {
    const { cable, during, ...flash } = steppedFactoryBoard(kind);
    const broken = await cable.open();
    const failed = flashBoard(broken, kind, imageOf(words), ({ doing, share }) => {
      if (doing === 'writing' && share > 0.5) cable.unplug();
    });
    await expect(during(failed)).rejects.toMatchObject({
      code: 'not-written',
      message: expect.stringMatching(
        /^Writing stopped at byte \d+ \(the line closed: the cable was pulled out\)/,
      ),
    });
    await broken.close();
    const program = flash.program();
    const image = imageOf(words).subarray(0, program.length);
    expect(program.equals(image)).toBe(false);

    cable.plug();
    const port = await cable.open();
    await during(flashBoard(port, kind, imageOf(words), () => {}));
    expect(program.equals(image)).toBe(true);
    expect(flash.bootSection().equals(flash.bootSectionAsSold)).toBe(true);
  });
});

it.each([
  ['mega', 'uno'],
  ['uno', 'mega'],
] as const)(
  'a %s does not answer as a %s, and does as itself after another reset; nothing is written',
  async (kind, wrong) => {
    const { cable, during, program } = steppedFactoryBoard(kind);
    const ask = async (as: FlashableBoard) => {
      const port = await cable.open();
      return during(identify(port, as)).finally(() => port.close());
    };
    await expect(ask(wrong)).rejects.toMatchObject({ code: 'no-bootloader' });
    await expect(ask(kind)).resolves.toBeDefined();
    expect(program().every((byte) => byte === 0xff)).toBe(true);
  },
);
