/** Stock firmware takes 57,600 baud, 5.76 bytes a millisecond: half of it may go to analogue reports of three bytes each. */
const analogBytesPerMs = 2.88;
/** The least interval the stock firmware keeps. */
const leastMs = 10;

/** Milliseconds between two analogue reports of one channel, when the firmware reports `channels` of them. */
export const samplingIntervalMs = (channels: number): number =>
  Math.max(Math.ceil((3 * channels) / analogBytesPerMs), leastMs);
