import { describe, expect, it } from 'vitest';
import {
  type AdsGain,
  type AdsInput,
  type AdsRate,
  adsConversionMs,
  adsFullScaleVolts,
  adsRatesPerS,
  adsVolts,
  decodeAdsCode,
  decodeAdsConfig,
  encodeAdsConversion,
} from '../../../node/chips/ads1115-registers.js';
import {
  clearFinished,
  decodeMcpChip,
  decodeMcpEmfMicrovolts,
  decodeMcpStatus,
  decodeMcpTemperatureC,
  encodeSensorConfig,
  type McpThermocouple,
} from '../../../node/chips/mcp960x-registers.js';
import patterns from '../../tables/chip-patterns.json' with { type: 'json' };

const fromBinary = (bits: unknown): number => Number.parseInt(String(bits), 2);
const hexBytes = (bytes: readonly string[]): number[] => bytes.map(Number);

describe('MCP9600 and MCP9601, registers 5-1 to 5-13 of their datasheet', () => {
  const { temperature, rawAdc } = patterns.MCP960x;

  it('decodes all 8 temperatures and all 7 voltages', () => {
    expect(temperature.items).toHaveLength(8);
    for (const { bytes, c } of temperature.items) expect(decodeMcpTemperatureC(hexBytes(bytes))).toBe(c);
    expect(rawAdc.items).toHaveLength(7);
    for (const { bytes, uv } of rawAdc.items) expect(decodeMcpEmfMicrovolts(hexBytes(bytes))).toBe(uv);
  });

  it('gives no voltage where the seven sign bits disagree', () => {
    for (const bytes of [
      [0x02, 0, 0],
      [0x7f, 0xff, 0xff],
      [0xfd, 0xff, 0xff],
    ])
      expect(decodeMcpEmfMicrovolts(bytes)).toBeUndefined();
  });

  it('distinguishes the two chips and gives the short bit only to the one that has it', () => {
    expect(decodeMcpChip(0x40)).toBe('MCP9600');
    expect(decodeMcpChip(0x41)).toBe('MCP9601');
    expect(decodeMcpChip(0x42)).toBeUndefined();
    const all = { updated: true, openOrOutOfRange: true };
    expect(decodeMcpStatus(0x70, 'MCP9601')).toEqual({ ...all, shorted: true });
    expect(decodeMcpStatus(0x70, 'MCP9600')).toEqual({ ...all, shorted: false });
    expect(decodeMcpStatus(0x8f, 'MCP9601')).toEqual({
      updated: false,
      openOrOutOfRange: false,
      shorted: false,
    });
    expect(clearFinished(0xf5)).toBe(0x35);
  });

  it('puts type and filter where the sensor configuration has them', () => {
    const printed: readonly (readonly [McpThermocouple, number])[] = [
      ['K', 0b000],
      ['J', 0b001],
      ['T', 0b010],
      ['N', 0b011],
      ['S', 0b100],
      ['E', 0b101],
      ['B', 0b110],
      ['R', 0b111],
    ];
    for (const [type, bits] of printed) expect(encodeSensorConfig(type)).toBe(bits << 4);
  });
});

describe('ADS1115, tables 5 to 8 of its datasheet', () => {
  const { mux, pga, dataRate, example } = patterns.ADS1115;

  it('encodes every input, gain and rate of the configuration register', () => {
    const inputs = Object.entries(mux).map(([bits, name]) => [bits, name.replaceAll('AIN', '')] as const);
    expect(inputs).toHaveLength(8);
    for (const [bits, input] of inputs)
      expect((encodeAdsConversion(input as AdsInput, 0, 0) >> 12) & 7).toBe(fromBinary(bits));
    expect(pga).toHaveLength(6);
    pga.forEach(({ bits, fullScaleVolts, lsbMicrovolts }, index) => {
      const gain = index as AdsGain;
      expect((encodeAdsConversion('0', gain, 0) >> 9) & 7).toBe(fromBinary(bits));
      expect(adsFullScaleVolts[gain]).toBe(fullScaleVolts);
      expect(adsVolts(1, gain) * 1e6).toBeCloseTo(lsbMicrovolts, 9);
    });
    expect(dataRate).toHaveLength(8);
    dataRate.forEach(({ bits, samplesPerS, conversionMs }, index) => {
      const rate = index as AdsRate;
      expect((encodeAdsConversion('0', 0, rate) >> 5) & 7).toBe(fromBinary(bits));
      expect(adsRatesPerS[rate]).toBe(samplesPerS);
      expect(adsConversionMs(rate)).toBeGreaterThan(conversionMs * 1.1);
    });
  });

  it('starts a single conversion with the comparator off, and differs from the printed continuous example only there', () => {
    const [, high, low] = (example.writes[0] ?? [])
      .slice(1)
      .map((byte, index) => (index === 0 ? 0 : Number(byte)));
    const printed = ((high ?? 0) << 8) | (low ?? 0);
    // 0x8483: differential 0-1, 2.048 V, continuous, 128 a second. Bit 8 makes it single.
    expect(encodeAdsConversion('0-1', 2, 4)).toBe(printed | 0x0100);
  });

  it('decodes the ends of the scale and the ready bit', () => {
    expect(decodeAdsCode([0x7f, 0xff])).toBe(32_767);
    expect(decodeAdsCode([0x80, 0x00])).toBe(-32_768);
    expect(decodeAdsConfig(0x8583)).toEqual({ ready: true, settings: 0x0583 });
    expect(decodeAdsConfig(0x0583)).toEqual({ ready: false, settings: 0x0583 });
  });
});
