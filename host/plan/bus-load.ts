/** What a kit asks of the board's serial line and of its I2C bus. */
export type BusAsked = {
  readonly analogChannels: number;
  readonly mcp960xChips: number;
  readonly sampleHz: number;
  /** Milliseconds between two analogue reports of one channel; the stock firmware's own default is 19. */
  readonly samplingMs: number;
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

/** One reading of an MCP960x: raw EMF (3 bytes), cold junction (2), status (1). */
const mcp960xReads = [3, 2, 1] as const;

/** An 18-bit conversion takes 320 ms, a 16-bit one 80 ms (MCP9601 datasheet DS20005426G, typical). */
export const mcp960xFreshHz = { bits18: 1000 / 320, bits16: 1000 / 80 } as const;

const loadAt = ({ analogChannels, mcp960xChips, samplingMs }: BusAsked, chipHz: number) => {
  const chipBytes = mcp960xReads.reduce((sum, bytes) => sum + replyBytes(bytes), 0);
  const bytesPerS =
    (analogChannels * analogReportBytes * 1000) / samplingMs + mcp960xChips * chipBytes * chipHz;
  const reads = mcp960xChips * mcp960xReads.length * chipHz;
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
