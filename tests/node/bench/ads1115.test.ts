import { describe, expect, it } from 'vitest';
import { Ads1115Chip } from '../../../node/bench/chips/ads1115.js';
import { makeRandom } from '../../../node/bench/plant/random.js';

/** Restated from Texas Instruments SBAS444D, January 2018, its register map: pointers 0 and 1; OS bit 15, MUX 14:12, PGA 11:9, MODE 8, DR 7:5. */
const conversion = 0;
const config = 1;
const start = 0x8000;
const singleShot = 0x0100;
const rate128 = 4 << 5;
const comparatorOff = 0x0003;

function chipWith(volts: [number, number, number, number], still = false) {
  let inputs = volts;
  const chip = new Ads1115Chip({
    address: 0x48,
    inputs: () => inputs,
    isStill: () => still,
    chance: makeRandom(3),
    exact: true,
  });
  let atS = 0;
  return {
    chip,
    wait(seconds: number) {
      atS += seconds;
    },
    apply(next: [number, number, number, number]) {
      inputs = next;
    },
    set(value: number) {
      chip.begin(true, atS);
      return [config, value >> 8, value & 0xff].map((byte) => chip.write(byte));
    },
    get(pointer: number): number {
      chip.begin(true, atS);
      chip.write(pointer);
      chip.begin(false, atS);
      return (chip.read() << 8) | chip.read();
    },
  };
}
const signed = (code: number) => (code << 16) >> 16;
const request = (mux: number, pga: number) =>
  start | (mux << 12) | (pga << 9) | singleShot | rate128 | comparatorOff;

describe('the ADS1115 model', () => {
  it('wakes with configuration 0x8583 and no conversion running', () => {
    expect(chipWith([0, 0, 0, 0]).get(config)).toBe(0x8583);
  });

  /** Datasheet table 3: full scale of the ranges, in volts. */
  const ranges = [
    [0, 6.144],
    [1, 4.096],
    [2, 2.048],
    [3, 1.024],
    [4, 0.512],
    [5, 0.256],
  ] as const;
  it.each(ranges)('with range bits %d a fifth of %d V gives a fifth of 32768 codes', (pga, fullScale) => {
    const { set, get, wait } = chipWith([fullScale / 5, 0, 0, 0]);
    set(request(4, pga));
    wait(0.009);
    expect(Math.abs(signed(get(conversion)) - 32_768 / 5)).toBeLessThan(2);
  });

  const pairs = [
    [0, 0.1 - 0.2],
    [1, 0.1 - 0.4],
    [2, 0.2 - 0.4],
    [3, 0.3 - 0.4],
    [4, 0.1],
    [5, 0.2],
    [6, 0.3],
    [7, 0.4],
  ] as const;
  it.each(pairs)('with input bits %d it measures %d V of inputs at 0.1, 0.2, 0.3, 0.4 V', (mux, volts) => {
    const { set, get, wait } = chipWith([0.1, 0.2, 0.3, 0.4]);
    set(request(mux, 4));
    wait(0.009);
    expect(Math.abs(signed(get(conversion)) * 15.625e-6 - volts)).toBeLessThan(40e-6);
  });

  it('stops at the ends of its range', () => {
    const { set, get, wait, apply } = chipWith([4, 0, 0, 0]);
    set(request(0, 2));
    wait(0.009);
    expect(get(conversion)).toBe(0x7fff);
    apply([0, 4, 0, 0]);
    set(request(0, 2));
    wait(0.009);
    expect(get(conversion)).toBe(0x8000);
  });

  it('is busy for 7.8 ms at 128 a second, keeps the old code till then, and asks nothing of the host', () => {
    const { set, get, wait } = chipWith([1, 0, 0, 0]);
    set(request(4, 1));
    wait(0.0077);
    expect(get(config) & start).toBe(0);
    expect(get(conversion)).toBe(0);
    wait(0.0002);
    expect(get(config)).toBe(request(4, 1));
    expect(signed(get(conversion))).toBeGreaterThan(7900);
  });

  it('a single conversion stays until the next is asked for; a continuous one follows the signal', () => {
    const { set, get, wait, apply } = chipWith([1, 0, 0, 0]);
    set(request(4, 1));
    wait(0.01);
    const first = get(conversion);
    apply([2, 0, 0, 0]);
    wait(1);
    expect(get(conversion)).toBe(first);
    set((request(4, 1) & ~singleShot) >>> 0);
    wait(0.01);
    expect(Math.abs(signed(get(conversion)) - 16_000)).toBeLessThan(3);
    apply([3, 0, 0, 0]);
    wait(0.01);
    expect(Math.abs(signed(get(conversion)) - 24_000)).toBeLessThan(3);
  });

  it('takes three bytes and does not acknowledge a fourth; the conversion register cannot be written', () => {
    const { chip, set, get } = chipWith([0, 0, 0, 0]);
    expect(set(0x8583)).toEqual([true, true, true]);
    expect(chip.write(0)).toBe(false);
    chip.begin(true, 0);
    for (const byte of [conversion, 0x12, 0x34]) chip.write(byte);
    expect(get(conversion)).toBe(0);
  });

  it('absent, it acknowledges nothing; stuck, it gives one code for ever', () => {
    const missing = chipWith([1, 0, 0, 0]);
    missing.chip.absent = true;
    expect(missing.chip.begin(true, 0)).toBe(false);
    const { set, get, wait } = chipWith([1, 0, 0, 0], true);
    const codes = Array.from({ length: 20 }, () => {
      set(request(4, 5));
      wait(0.01);
      return get(conversion);
    });
    expect(new Set(codes).size).toBe(1);
  });
});
