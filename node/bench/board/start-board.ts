import { type FirmwareVersion, stockFirmware } from '../../board/flash/firmware-image.js';
import { asMonotonicMs, asWallMs, type Clock } from '../../time/clock.js';
import { TcpPort } from './bench-tcp-port.js';
import type { BoardPort } from './board-port.js';
import { clockHz } from './emulated-board.js';
import { Emulation, type Outside } from './emulation.js';
import { keepPace, type Pacing } from './pace.js';
import { PtyPort } from './pty-port.js';

export const nothingConnected: Outside = {
  chips: () => [],
  analogCounts: () => undefined,
  inputLevel: () => undefined,
  onOutput: () => {},
  advance: () => {},
};

export type ServedBoard = {
  readonly emulation: Emulation;
  readonly port: TcpPort;
  readonly pacing: Pacing;
  close(): Promise<void>;
};

/**
 * Starts a board that serves its serial bytes on a TCP port of loopback (0 picks a free one:
 * read it back from `port.port`). Opening the port resets the board unless `resetOnOpen` is false. One that is still
 * starting is left to it: on a computer too slow to start it within the node's patience it would never come up.
 */
export async function serveBoard(options: {
  readonly firmware?: FirmwareVersion;
  readonly outside?: Outside;
  readonly tcpPort?: number;
  /** 1 is real time (the default), Infinity as fast as it goes. */
  readonly speed?: number;
  readonly resetOnOpen?: boolean;
}): Promise<ServedBoard> {
  const emulation = new Emulation(
    stockFirmware(options.firmware ?? '2.5'),
    options.outside ?? nothingConnected,
  );
  const port = new TcpPort(emulation.line, options.tcpPort ?? 0, () => {
    if ((options.resetOnOpen ?? true) && !emulation.board.isStarting) emulation.board.reset();
  });
  await port.plug();
  return running(emulation, port, options.speed);
}

/** The same behind a pseudo-terminal at the path `link`; needs socat. */
export async function serveBoardOnTerminal(options: {
  readonly link: string;
  readonly firmware?: FirmwareVersion;
  readonly outside?: Outside;
  readonly speed?: number;
}): Promise<Omit<ServedBoard, 'port'> & { readonly port: PtyPort }> {
  const program = stockFirmware(options.firmware ?? '2.5');
  const emulation = new Emulation(program, options.outside ?? nothingConnected);
  const port = new PtyPort(emulation.line, options.link);
  await port.plug();
  return running(emulation, port, options.speed);
}

function running<Port extends BoardPort>(emulation: Emulation, port: Port, speed = 1) {
  const pacing = keepPace(emulation, speed);
  return {
    emulation,
    port,
    pacing,
    async close() {
      pacing.stop();
      await port.unplug();
    },
  };
}

/**
 * A board in this very process whose time moves only when asked, much faster than real time.
 * Between milliseconds the event loop gets its turns, so that promises and sockets of the code under test move on.
 */
export class SteppedBoard {
  readonly emulation: Emulation;
  /** Reads emulated time; the wall clock may be stepped without touching the monotonic one. */
  readonly clock: Clock;
  wallOffsetMs = Date.UTC(2030, 5, 1);
  readonly #everyMillisecond: (() => void)[] = [];

  /** Takes an emulation of your own, or makes an Uno. */
  constructor(
    options: {
      readonly firmware?: FirmwareVersion;
      readonly outside?: Outside;
      readonly emulation?: Emulation;
    } = {},
  ) {
    const { firmware = '2.5', outside = nothingConnected } = options;
    this.emulation = options.emulation ?? new Emulation(stockFirmware(firmware), outside);
    const nowMs = () => this.emulation.nowS * 1000;
    this.clock = {
      monotonicMs: () => asMonotonicMs(nowMs()),
      wallMs: () => asWallMs(nowMs() + this.wallOffsetMs),
    };
  }

  /** Called after every emulated millisecond; the place to move fake timers on by one. */
  everyMillisecond(act: () => void): void {
    this.#everyMillisecond.push(act);
  }

  async advance(seconds: number): Promise<void> {
    await this.#step(() => false, seconds);
  }

  /** Advances until `done`, and rejects when that takes more than `withinS` emulated seconds. */
  async advanceUntil(done: () => boolean, withinS: number): Promise<void> {
    if (!(await this.#step(done, withinS))) throw new Error(`not within ${withinS} emulated seconds`);
  }

  async #step(done: () => boolean, withinS: number): Promise<boolean> {
    const end = this.emulation.nowS + withinS;
    while (this.emulation.nowS < end) {
      if (done()) return true;
      this.emulation.advanceCycles(clockHz / 1000);
      for (const act of this.#everyMillisecond) act();
      await new Promise((resolve) => setImmediate(resolve));
    }
    return done();
  }
}
