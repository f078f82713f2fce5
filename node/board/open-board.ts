import type { AnalogInput } from '../bus/analog-input.js';
import type { DigitalInput, DigitalOutput } from '../bus/digital.js';
import type { I2cBus } from '../bus/i2c-bus.js';
import type { Clock } from '../time/clock.js';
import { openerFor } from './connection.js';
import { LiveBoard } from './live-board.js';
import type { BoardCounters, BoardStatus } from './status.js';

/** A board for the life of the node: it may be away, it comes back by itself, and it never throws for that. */
export interface BoardLink {
  /** Counts of an analogue pin such as A0. Throws BoardError `bad-pin` for a name that is none. */
  analogInput(pin: string): AnalogInput;
  /** Throws BoardError `bad-pin` where the pin is already an input. */
  digitalOutput(pin: number): DigitalOutput;
  /** Throws BoardError `bad-pin` where the pin is already an output. */
  digitalInput(pin: number, options: { readonly pullUp: boolean }): DigitalInput;
  readonly i2c: I2cBus;
  status(): BoardStatus;
  onStatus(listener: (status: BoardStatus) => void): void;
  counters(): BoardCounters;
  /** Resolves when the port is free. The outputs stay as they are: the missing-pulse circuit notices. */
  close(): Promise<void>;
}

export type BoardOptions = {
  /** `auto`, a serial path, or tcp://host:port. */
  readonly connection: string;
  readonly clock: Clock;
  /** Milliseconds between two counts of each analogue pin, 10 or more; by default what the serial line carries. */
  readonly samplingMs?: number;
};

/**
 * Returns at once; the board is opened, identified, watched and reopened behind it.
 * Throws BoardError `bad-connection` where the connection cannot be understood.
 */
export function openBoard(options: BoardOptions): BoardLink {
  return new LiveBoard(openerFor(options.connection), options.clock, options.samplingMs);
}
