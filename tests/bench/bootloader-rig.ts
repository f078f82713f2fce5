import { vi } from 'vitest';
import { TcpPort } from '../../node/bench/board/bench-tcp-port.js';
import { Emulation } from '../../node/bench/board/emulation.js';
import { keepPace } from '../../node/bench/board/pace.js';
import type { BytePort } from '../../node/board/byte-port.js';
import { SteppedBoard } from './stepped-board.js';
// Loaded before the board runs: the product loads them when it flashes, and emulated time does not wait for a disk.
import '../../node/board/flash/stk500-v1.js';
import '../../node/board/flash/stk500-v2.js';
import type { FlashableBoard } from '../../node/board/flash/flashable-boards.js';
import { Bench, LineCable } from './board-rig.js';
import { factoryBoard } from './bootloaders.js';

const bytesOf = (words: Uint16Array) => Buffer.from(words.buffer, words.byteOffset, words.byteLength);

/** A board as it is sold, and what is in its flash below the boot section and in it. */
function unpack(board: FlashableBoard, bench: Bench) {
  const { flash, make, bootFromByte } = factoryBoard(board);
  const asSold = Buffer.from(bytesOf(flash).subarray(bootFromByte));
  return {
    emulation: new Emulation(flash, bench.outside, make),
    program: () => bytesOf(flash).subarray(0, bootFromByte),
    bootSection: () => bytesOf(flash).subarray(bootFromByte),
    bootSectionAsSold: asSold,
  };
}

/** The cable of a real board: opening it pulls the reset line. */
class ResettingCable extends LineCable {
  readonly #emulation: Emulation;

  constructor(emulation: Emulation) {
    super(emulation.line);
    this.#emulation = emulation;
  }

  override async open(): Promise<BytePort> {
    const port = await super.open();
    this.#emulation.board.reset();
    return port;
  }
}

/** On emulated time alone. Call with vitest's fake timers on. */
export function steppedFactoryBoard(kind: FlashableBoard) {
  const bench = new Bench();
  const made = unpack(kind, bench);
  const board = new SteppedBoard({ emulation: made.emulation });
  board.everyMillisecond(() => vi.advanceTimersByTime(1));
  return {
    ...made,
    bench,
    board,
    cable: new ResettingCable(made.emulation),
    /** Steps emulated time while a promise of the code under test runs. */
    async during<T>(work: Promise<T>): Promise<T> {
      let done = false;
      const settled = work.finally(() => {
        done = true;
      });
      settled.catch(() => {});
      await board.advanceUntil(() => done, 60);
      return settled;
    },
  };
}

/** In real time behind a socket whose opening resets it, for programs that run beside the test. */
export async function serveFactoryBoard(kind: FlashableBoard) {
  const made = unpack(kind, new Bench());
  const port = new TcpPort(made.emulation.line, 0, () => made.emulation.board.reset());
  await port.plug();
  const pacing = keepPace(made.emulation, 1);
  return {
    ...made,
    address: `tcp://127.0.0.1:${port.port}`,
    async close() {
      pacing.stop();
      await port.unplug();
    },
  };
}
