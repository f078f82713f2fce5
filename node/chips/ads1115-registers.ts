/**
 * ADS1115, 16-bit converter with four inputs. Texas Instruments SBAS444D (2018), tables 5 to 8.
 */
export const adsRegister = {
  conversion: { pointer: 0x00, bytes: 2 },
  config: { pointer: 0x01, bytes: 2 },
} as const;

/** Bits 14 to 12 of the configuration: which input against which. A single input is measured against ground. */
const inputBits = { '0-1': 0, '0-3': 1, '1-3': 2, '2-3': 3, '0': 4, '1': 5, '2': 6, '3': 7 } as const;
export type AdsInput = keyof typeof inputBits;

/** Full scales in volts, the widest first; their index is bits 11 to 9. No input may go above the supply + 0.3 V. */
export const adsFullScaleVolts = [6.144, 4.096, 2.048, 1.024, 0.512, 0.256] as const;
export type AdsGain = 0 | 1 | 2 | 3 | 4 | 5;

/** Conversions per second; the index is bits 7 to 5. The chip's own clock is within 10 %. */
export const adsRatesPerS = [8, 16, 32, 64, 128, 250, 475, 860] as const;
export type AdsRate = 0 | 1 | 2 | 3 | 4 | 5 | 6 | 7;

/** A single conversion of one input, comparator off. Sent as written; the top bit starts it. */
export const encodeAdsConversion = (input: AdsInput, gain: AdsGain, rate: AdsRate): number =>
  0x8000 | (inputBits[input] << 12) | (gain << 9) | 0x0100 | (rate << 5) | 0x0003;

/** The top bit reads 0 while a conversion runs; the others read as they were written. */
export const decodeAdsConfig = (config: number): { readonly ready: boolean; readonly settings: number } => ({
  ready: (config & 0x8000) !== 0,
  settings: config & 0x7fff,
});

/** Two's complement, full scale / 32768 each. */
export const decodeAdsCode = ([high = 0, low = 0]: readonly number[]): number => ((high << 24) >> 16) | low;

export const adsVolts = (code: number, gain: AdsGain): number => (code * adsFullScaleVolts[gain]) / 32_768;

/** Longest time to a result, ms: the period of the rate, 10 % for the clock, and waking up (25 microseconds). */
export const adsConversionMs = (rate: AdsRate): number => (1.1 * 1000) / adsRatesPerS[rate] + 0.1;
