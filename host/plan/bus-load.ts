import { samplingIntervalMs } from '../../node/index.js';

/** What a kit asks of the board's serial line and of its I2C bus. */
export type BusAsked = {
  readonly analogChannels: number;
  readonly mcp960xChips: number;
  /** Inputs of ADS1115 converters that are read, the one that sees the supply among them. */
  readonly ads1115Inputs: number;
  readonly sampleHz: number;
};

export type BusLoad = {
  readonly bytesPerS: number;
  /** Of the 5,760 bytes a second that 57,600 baud carry. */
  readonly lineShare: number;
  readonly i2cReadsPerS: number;
  /** Of about 280 two-byte reads a second that the stock firmware answers. */
  readonly i2cShare: number;
  /** Fastest whole or half rate of the kit that leaves 30 % of line and bus free, 10 Hz at most. */
  readonly fastestSampleHz: number;
  readonly fits: boolean;
};

/** 57,600 baud, ten bits a byte: StandardFirmata's rate. */
const lineBytesPerS = 5760;
/** Two-byte reads one after the other through the stock firmware, measured. */
const i2cReadsPerS = 280;
const usableShare = 0.7;

/** An analogue report is three bytes: command and pin, then twice seven bits (Firmata protocol 2.5). */
const analogReportBytes = 3;

/** A reply carries start, command, two bytes each for address, register and every data byte, end. */
const replyBytes = (dataBytes: number) => 2 + 2 + 2 + 2 * dataBytes + 1;

/**
 * Data bytes of the replies to one reading. MCP960x: its id, then status, raw EMF and cold junction, and all three
 * again, so that a pair is known to belong together. ADS1115: ready bit, and the code twice, 2 bytes each.
 */
const repliesOf = { mcp960x: [2, 1, 3, 2, 2, 3, 1], ads1115: [2, 2, 2] } as const;

/** A chip is asked at most so often: an 18-bit conversion takes 320 ms (MCP9601 datasheet DS20005426G, typical). */
const mostChipHz = 5;

const loadAt = ({ analogChannels, mcp960xChips, ads1115Inputs }: BusAsked, sampleHz: number) => {
  const chipHz = Math.min(sampleHz, mostChipHz);
  const replies = [
    ...Array.from({ length: mcp960xChips }, () => repliesOf.mcp960x).flat(),
    ...Array.from({ length: ads1115Inputs }, () => repliesOf.ads1115).flat(),
  ];
  const bytesPerS =
    (analogChannels * analogReportBytes * 1000) / samplingIntervalMs(analogChannels) +
    replies.reduce<number>((sum, bytes) => sum + replyBytes(bytes), 0) * chipHz;
  const reads = replies.length * chipHz;
  return {
    bytesPerS,
    lineShare: bytesPerS / lineBytesPerS,
    i2cReadsPerS: reads,
    i2cShare: reads / i2cReadsPerS,
  };
};

/** Whether the bus carries the kit, and the fastest rate it carries. */
export const busLoad = (asked: BusAsked): BusLoad => {
  const fitsAt = (hz: number) => {
    const { lineShare, i2cShare } = loadAt(asked, hz);
    return lineShare <= usableShare && i2cShare <= usableShare;
  };
  const rates = Array.from({ length: 19 }, (_, index) => 10 - index / 2);
  return {
    ...loadAt(asked, asked.sampleHz),
    fastestSampleHz: rates.find(fitsAt) ?? 0,
    fits: fitsAt(asked.sampleHz),
  };
};

/** Passes a second that the kit file asks for: as answered, or as many as the bus carries. */
export const kitSampleHz = (answeredHz: number, bus: BusLoad): number =>
  Math.min(answeredHz, Math.max(1, bus.fastestSampleHz));
