/**
 * One input of a converter whose counts arrive by themselves, once per sampling interval.
 * A board that is away sends nothing: silence is the reader's business to notice.
 */
export interface AnalogInput {
  /** Counts at the reference voltage: 1023 for the board's own 10-bit converter. */
  readonly fullScaleCounts: number;
  onCounts(listener: (counts: number) => void): void;
}
