import { readFileSync } from 'node:fs';
import type { BoardLink } from '../board/board-link.js';
import { openBoard } from '../board/open-board.js';
import { loadWholeKit } from '../pass/loaded-kit.js';
import { Rhythm } from '../pass/rhythm.js';
import { openSenses } from '../sense/open-senses.js';
import { type Clock, systemClock } from '../time/clock.js';
import { I2cScan } from './i2c-scan.js';
import { type WiringLook, WiringView } from './look.js';
import { RecordingWriter } from './recording.js';

export type WiringOptions = {
  readonly kitPath: string;
  /** Instead of the kit's own. */
  readonly connection?: string;
  /** Writes everything that is sensed to this new file. */
  readonly recordTo?: string;
  readonly clock?: Clock;
  /** How a board is opened; the real way unless a test has its own. */
  readonly openBoard?: (connection: string, clock: Clock) => BoardLink;
};

export type OpenWiring = {
  look(): WiringLook;
  close(): Promise<void>;
};

/** Opens the board of a kit to look at its wiring. No guard, no buzzer: for the bench and the berth. Throws `NodeError`. */
export const openWiring = (options: WiringOptions): OpenWiring => {
  const clock = options.clock ?? systemClock;
  const { kit, converters } = loadWholeKit(options.kitPath);
  const writer =
    options.recordTo === undefined
      ? undefined
      : new RecordingWriter(options.recordTo, {
          startedAt: clock.wallMs(),
          kit: readFileSync(options.kitPath, 'utf8'),
        });
  const board = (options.openBoard ?? openBoard)(options.connection ?? kit.board.connection, clock);
  const { senses, stop } = openSenses(kit, board, clock);
  const view = new WiringView(kit, converters);
  const scan = new I2cScan(kit, board.i2c);
  const rhythm = new Rhythm(
    1000 / kit.board.sampleHz,
    () => {
      const sensed = senses.take();
      writer?.add(sensed);
      view.take(sensed);
    },
    clock,
    (error) => {
      throw error;
    },
  );
  return {
    look: () => view.look(board.status(), board.counters(), scan.found),
    async close() {
      rhythm.stop();
      scan.stop();
      stop();
      writer?.close();
      await board.close();
    },
  };
};
