import type { AnalogInput } from '../bus/analog-input.js';
import type { DigitalInput, DigitalOutput } from '../bus/digital.js';
import type { I2cBus } from '../bus/i2c-bus.js';
import type { BoardCounters, BoardStatus } from './status.js';

/** A board for the life of the node: it may be disconnected, it reconnects by itself, and never throws for that. */
export interface BoardLink {
  /** Counts of an analogue pin such as A0. Throws BoardError `bad-pin` for an invalid name. */
  analogInput(pin: string): AnalogInput;
  /** Throws BoardError `bad-pin` where the pin is already an input. */
  digitalOutput(pin: number): DigitalOutput;
  /** Throws BoardError `bad-pin` where the pin is already an output. */
  digitalInput(pin: number, options: { readonly pullUp: boolean }): DigitalInput;
  readonly i2c: I2cBus;
  status(): BoardStatus;
  onStatus(listener: (status: BoardStatus) => void): void;
  counters(): BoardCounters;
  /** For how long the firmware has not said that this output is as ordered, ms; undefined while there is no board. */
  unconfirmedMs(pin: number): number | undefined;
  /** Resolves when the port is free. The outputs stay as they are: the missing-pulse circuit notices. */
  close(): Promise<void>;
}
