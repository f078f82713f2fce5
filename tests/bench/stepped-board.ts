import { clockHz } from '../../node/bench/board/emulated-board.js';
import { Emulation, type Outside } from '../../node/bench/board/emulation.js';
import { nothingConnected } from '../../node/bench/board/start-board.js';
import { type FirmwareVersion, stockFirmware } from '../../node/board/flash/firmware-image.js';
import { asMonotonicMs, asWallMs, type Clock } from '../../node/time/clock.js';

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
