/**
 * One input of a converter whose counts arrive by themselves, once per sampling interval.
 * A disconnected board sends nothing: the reader must notice the silence.
 */
export interface AnalogInput {
  /** Counts at the reference voltage: 1023 for the board's own 10-bit converter. */
  readonly fullScaleCounts: number;
  onCounts(listener: (counts: number) => void): void;
}
