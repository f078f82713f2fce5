import { degreesPerCount, thermistorSlopeCPerOhm } from '../../calibration/index.js';
import type { Channel } from '../kit/schema.js';
import type { Signal } from '../reading/reading.js';
import type { Sample } from '../sense/sample.js';

/** The fixed resistor of a divider: 1 % metal film, rectangular. */
const resistorTolerance = 0.01;
/** AD8495: 5 mV per C, and a supply that a USB port holds within 5 % (USB 2.0, 7.2.2: 4.75 to 5.25 V), rectangular. */
const ad8495VoltsPerC = 0.005;
const supplyTolerance = 0.05;
/** MCP9600/9601: 2 uV per count at 18 bits; offset error at most 2 uV (datasheet DS20005426), rectangular. */
const mcp960xMicrovolts = 2;
/** Type K near room temperature; the other types of our kits are within a factor of two. */
const microvoltsPerC = 41;
/** ADS1115: gain error 0.15 % and offset 3 codes of 7.8 uV at most (SBAS444D, 7.5), rectangular. */
const ads1115Gain = 0.0015;
const ads1115Microvolts = 24;

/** What the input itself adds to the uncertainty of a reading, as a standard uncertainty (k = 1). */
export const inputUncertaintyC = (channel: Channel, signal: Signal, sample?: Sample): number => {
  switch (channel.kind) {
    case 'ntc-divider':
    case 'ntc-divider-ads1115': {
      const fromResistor =
        (Math.abs(thermistorSlopeCPerOhm(channel.thermistor, signal.raw)) * signal.raw * resistorTolerance) /
        Math.sqrt(3);
      if (sample?.kind !== 'counts') return fromResistor;
      const perCount = degreesPerCount(signal.raw, sample.fullScale, channel, channel.thermistor);
      return Math.hypot(fromResistor, perCount * countUncertainty(sample));
    }
    case 'ad8495': {
      const fromSupply = (signal.raw * supplyTolerance) / Math.sqrt(3);
      const fromCounts =
        sample?.kind === 'counts' ? (channel.supplyVolts / sample.fullScale) * countUncertainty(sample) : 0;
      return Math.hypot(fromSupply, fromCounts) / ad8495VoltsPerC;
    }
    case 'ad8495-ads1115':
      return (signal.raw * ads1115Gain) / Math.sqrt(3) / ad8495VoltsPerC;
    case 'thermocouple-ads1115':
      return ads1115Microvolts / microvoltsPerC / Math.sqrt(3);
    case 'mcp960x':
      return mcp960xMicrovolts / microvoltsPerC / Math.sqrt(3);
  }
};

/** Of a mean of several counts: the noise averages out, and below half a count of noise the step remains. */
const countUncertainty = ({ noiseCounts, taken }: Extract<Sample, { kind: 'counts' }>): number => {
  const step = noiseCounts < 0.5 ? 1 / Math.sqrt(12) : 0;
  return Math.hypot(noiseCounts / Math.sqrt(Math.max(1, taken)), step);
};
