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
import { decodeMax31855 } from '../../../node/chips/max31855.js';
import {
  decodeMax31856ColdJunctionC,
  decodeMax31856Faults,
  decodeMax31856ThermocoupleC,
} from '../../../node/chips/max31856.js';
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
/** Splits a printed pattern into the bytes that a register read gives. */
const bytesOf = (bits: unknown): number[] => String(bits).match(/.{8}/g)?.map(fromBinary) ?? [];

describe('MAX31855, tables 4 and 5 of its datasheet', () => {
  const { thermocouplePatternsD31D18, coldJunctionPatternsD15D4, composedFrames } = patterns.MAX31855;

  it('decodes all 8 printed thermocouple patterns', () => {
    expect(thermocouplePatternsD31D18).toHaveLength(8);
    for (const [celsius, bits] of thermocouplePatternsD31D18)
      expect(decodeMax31855(fromBinary(bits) << 18)).toMatchObject({ thermocoupleC: celsius });
  });

  it('decodes all 8 printed cold junction patterns', () => {
    expect(coldJunctionPatternsD15D4).toHaveLength(8);
    for (const [celsius, bits] of coldJunctionPatternsD15D4)
      expect(decodeMax31855(fromBinary(bits) << 4).coldJunctionC).toBe(celsius);
  });

  it('decodes all 11 whole frames, and names the fault instead of its 2047.75 C', () => {
    expect(composedFrames.items).toHaveLength(11);
    const names: Record<string, string> = {
      open_circuit: 'open',
      short_to_gnd: 'short-to-ground',
      short_to_vcc: 'short-to-supply',
    };
    for (const { hex, thermocoupleC, coldJunctionC, fault } of composedFrames.items)
      expect(decodeMax31855(Number(hex))).toEqual(
        fault === null
          ? { kind: 'temperatures', thermocoupleC, coldJunctionC }
          : { kind: 'fault', fault: names[fault], coldJunctionC },
      );
  });

  it('refuses a frame whose always-zero bits are set, and one whose fault bits contradict each other', () => {
    for (const frame of [0x0192_1900, 0x0190_1908, 0x0191_1900, 0x0190_1901, 0xffff_ffff | 0])
      expect(decodeMax31855(frame)).toMatchObject({ fault: 'damaged-frame' });
  });
});

describe('MAX31856, tables of its datasheet', () => {
  const { thermocouplePatterns, coldJunctionPatterns } = patterns.MAX31856;

  it('decodes all 10 printed thermocouple patterns and all 11 cold junction patterns', () => {
    expect(thermocouplePatterns).toHaveLength(10);
    for (const [celsius, bits] of thermocouplePatterns)
      expect(decodeMax31856ThermocoupleC(bytesOf(bits))).toBe(celsius);
    expect(coldJunctionPatterns).toHaveLength(11);
    for (const [celsius, bits] of coldJunctionPatterns)
      expect(decodeMax31856ColdJunctionC(bytesOf(bits))).toBe(celsius);
  });

  it('names the faults of the status register and leaves its alarm bits alone', () => {
    expect(decodeMax31856Faults(0x00)).toEqual([]);
    expect(decodeMax31856Faults(0x01)).toEqual(['open']);
    expect(decodeMax31856Faults(0x3c)).toEqual([]);
    expect(decodeMax31856Faults(0xc3)).toEqual([
      'open',
      'over-or-under-voltage',
      'thermocouple-out-of-range',
      'cold-junction-out-of-range',
    ]);
  });
});

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

  it('tells the two chips apart and gives the short bit only to the one that has it', () => {
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
    for (const [type, bits] of printed) expect(encodeSensorConfig(type, 5)).toBe((bits << 4) | 5);
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
