import type { TwoWireChip } from './two-wire-bus.js';

/** What the board's sockets are wired to. The board asks; nothing here has a clock of its own. */
export type BoardWiring = {
  /**
   * Counts of the 10-bit converter for A0 and up at `atS`, before clipping to 0..1023 and truncation,
   * so that noise may be added; undefined where nothing is connected.
   */
  analogCounts(channel: number, atS: number): number | undefined;
  /** Level that the outside drives onto a digital pin, asked every few milliseconds; undefined floats (reads low). */
  inputLevel(pin: number, atS: number): boolean | undefined;
  /** The chips that answer at this moment. */
  chips(): readonly TwoWireChip[];
  /** A digital pin as an output changed; an undriven pin counts as low, as with a pull-down resistor. */
  onOutput(pin: number, high: boolean, atS: number): void;
  onSerialOut(byte: number): void;
};
