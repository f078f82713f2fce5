import { vi } from 'vitest';
import type { Outside } from '../../node/bench/board/emulation.js';
import type { SerialLine } from '../../node/bench/board/serial-line.js';
import { nothingConnected } from '../../node/bench/board/start-board.js';
import type { TwoWireChip } from '../../node/bench/board/two-wire-bus.js';
import { McpRegisters } from '../../node/bench/chips/mcp960x-registers.js';
import type { BytePort, PortOpener } from '../../node/board/byte-port.js';
import type { FirmwareVersion } from '../../node/board/flash/firmware-image.js';
import { LiveBoard } from '../../node/board/live-board.js';
import { SteppedBoard } from './stepped-board.js';

/** A thermocouple chip whose registers the test sets; it converts nothing by itself. */
export class StillChip implements TwoWireChip {
  readonly address: number;
  readonly registers = new McpRegisters();

  constructor(address: number, microvolts: number, coldJunctionC: number) {
    this.address = address;
    this.registers.setRawCode(microvolts / 2);
    this.registers.setTemperature(0x02, coldJunctionC);
  }

  begin(write: boolean): boolean {
    return this.registers.begin(write);
  }
  write(byte: number): boolean {
    return this.registers.write(byte);
  }
  read(): number {
    return this.registers.read();
  }
  end(): void {}
}

/** What surrounds the board: the test changes it and looks at it. */
export class Bench {
  readonly analog = new Map<number, number>();
  readonly levels = new Map<number, boolean>();
  readonly chips: TwoWireChip[] = [];
  readonly outputs: { readonly pin: number; readonly high: boolean }[] = [];

  get outside(): Outside {
    return {
      ...nothingConnected,
      chips: () => this.chips,
      analogCounts: (channel) => this.analog.get(channel),
      inputLevel: (pin) => this.levels.get(pin),
      onOutput: (pin, high) => {
        this.outputs.push({ pin, high });
      },
    };
  }

  lastLevel(pin: number): boolean | undefined {
    return this.outputs.findLast((output) => output.pin === pin)?.high;
  }
}

/** Opens the emulated board's serial line in this very process; `unplug` is a cable pulled out, with a close event. */
export class LineCable implements PortOpener {
  readonly label = 'the bench line';
  readonly #line: SerialLine;
  #plugged = true;
  #closed: ((why: string) => void) | undefined;
  /** A cable that dies without a word: no close event, no bytes. */
  #silent = false;

  constructor(line: SerialLine) {
    this.#line = line;
  }

  async open(): Promise<BytePort> {
    if (!this.#plugged) throw new Error('There is no bench line.');
    const line = this.#line;
    const listeners: ((bytes: Uint8Array) => void)[] = [];
    this.#silent = false;
    line.open((bytes) => {
      if (!this.#silent) for (const listener of listeners) listener(bytes);
    });
    let open = true;
    return {
      label: this.label,
      write: (bytes) => {
        if (open && this.#plugged && !this.#silent) line.fromComputer(bytes);
      },
      onBytes: (listener) => listeners.push(listener),
      onClosed: (listener) => {
        this.#closed = listener;
      },
      close: async () => {
        if (open) line.close();
        open = false;
      },
    };
  }

  unplug(): void {
    this.#plugged = false;
    this.#line.close();
    this.#closed?.('the cable was pulled out');
  }

  unplugSilently(): void {
    this.#plugged = false;
    this.#silent = true;
  }

  plug(): void {
    this.#plugged = true;
  }
}

export type SteppedRig = {
  readonly bench: Bench;
  readonly board: SteppedBoard;
  readonly cable: LineCable;
  readonly link: LiveBoard;
  /** Steps emulated time while a promise of the code under test runs. */
  during<T>(work: Promise<T>): Promise<T>;
};

/** The real link on the emulated board, on emulated time only. Call with vitest's fake timers on. */
export function steppedRig(firmware: FirmwareVersion = '2.5'): SteppedRig {
  const bench = new Bench();
  const board = new SteppedBoard({ firmware, outside: bench.outside });
  board.everyMillisecond(() => vi.advanceTimersByTime(1));
  const cable = new LineCable(board.emulation.line);
  const link = new LiveBoard(cable, board.clock);
  return {
    bench,
    board,
    cable,
    link,
    async during(work) {
      let done = false;
      const settled = work.finally(() => {
        done = true;
      });
      await board.advanceUntil(() => done, 30);
      return settled;
    },
  };
}

/** Fakes the timers that the board room uses, and leaves those of the emulator alone. */
export const useEmulatedTimers = (): void => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval'] });
};
