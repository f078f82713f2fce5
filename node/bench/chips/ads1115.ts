import type { TwoWireChip } from '../board/two-wire-bus.js';
import { deviation } from '../chance.js';
import type { Random } from '../plant/random.js';

/** What each of the four inputs sees against ground, in volts, at this moment. */
export type AdsInputs = () => readonly [number, number, number, number];

/** Texas Instruments SBAS444D: register pointers, the configuration after power-up, ranges and rates by their bits. */
const conversion = 0;
const config = 1;
const configAfterReset = 0x8583;
/** Bit 15: written 1 it starts a conversion; read 1 none is running. */
const idle = 0x8000;
const singleShot = 0x0100;
const fullScaleVolts = [6.144, 4.096, 2.048, 1.024, 0.512, 0.256, 0.256, 0.256];
const samplesPerS = [8, 16, 32, 64, 128, 250, 475, 860];
const pairs = [
  [0, 1],
  [0, 3],
  [1, 3],
  [2, 3],
  [0, undefined],
  [1, undefined],
  [2, undefined],
  [3, undefined],
] as const;
/** A single conversion wakes the chip first; same document, 9.4.2.1. */
const wakeUpS = 25e-6;
/** Its own oscillator; the datasheet allows 10 % (7.5). Gain error is 0.15 % at most, offset 3 codes. */
const rateWithin = 0.1;
const gainWithin = 0.0005;
const offsetWithinCodes = 1.5;
/** Below one code from 8 to 128 samples a second (same document, table 1). */
const noiseCodes = 0.3;

/** An ADS1115 at register level: single and continuous conversions in their own time, four inputs, eight pairs. */
export class Ads1115Chip implements TwoWireChip {
  readonly address: number;
  absent = false;
  readonly #inputs: AdsInputs;
  readonly #chance: Random;
  readonly #rateFactor: number;
  readonly #gainFactor: number;
  readonly #offsetCodes: number;
  /** Conversion, configuration and the two thresholds of the comparator, which is not modelled. */
  readonly #registers = [0, configAfterReset, 0x8000, 0x7fff];
  #pointer = conversion;
  #written: number[] = [];
  #sent = 0;
  #beganAtS = 0;
  #readyAtS: number | undefined;
  readonly #lastCode = new Map<string, number>();
  /** Whether the voltage between two inputs has no life in it; then its code is given again, noise and all. */
  readonly #isStill: (positive: number, negative: number | undefined) => boolean;

  constructor(options: {
    readonly address: number;
    readonly inputs: AdsInputs;
    readonly isStill: (positive: number, negative: number | undefined) => boolean;
    readonly chance: Random;
    readonly exact: boolean;
  }) {
    const { address, inputs, chance, exact } = options;
    this.address = address;
    this.#inputs = inputs;
    this.#isStill = options.isStill;
    this.#chance = chance;
    this.#rateFactor = 1 + (exact ? 0 : deviation(chance, rateWithin));
    this.#gainFactor = 1 + (exact ? 0 : deviation(chance, gainWithin));
    this.#offsetCodes = exact ? 0 : deviation(chance, offsetWithinCodes);
  }

  begin(_write: boolean, atS: number): boolean {
    if (this.absent) return false;
    this.#settle(atS);
    this.#written = [];
    this.#sent = 0;
    this.#beganAtS = atS;
    return true;
  }

  write(byte: number): boolean {
    this.#written.push(byte);
    const [pointer = 0, high = 0, low = 0] = this.#written;
    if (this.#written.length === 1) this.#pointer = pointer & 0x03;
    if (this.#written.length === 3) this.#store((high << 8) | low);
    return this.#written.length <= 3;
  }

  /** High byte, low byte, and the same again for a host that keeps reading. */
  read(): number {
    const value = this.#registers[this.#pointer] ?? 0;
    return this.#sent++ % 2 === 0 ? value >> 8 : value & 0xff;
  }

  end(): void {}

  #store(value: number): void {
    if (this.#pointer === conversion) return;
    if (this.#pointer !== config) {
      this.#registers[this.#pointer] = value;
      return;
    }
    const starts = (value & singleShot) === 0 || (value & idle) !== 0;
    this.#registers[config] = starts ? value & ~idle : value | idle;
    this.#readyAtS = starts ? this.#beganAtS + this.#conversionS() : undefined;
  }

  #conversionS(): number {
    const rate = samplesPerS[((this.#registers[config] ?? 0) >> 5) & 0x07] ?? 128;
    return this.#rateFactor / rate + wakeUpS;
  }

  /** Finishes what had time to finish by now; in continuous mode the next conversion follows at once. */
  #settle(atS: number): void {
    if (this.#readyAtS === undefined || atS < this.#readyAtS) return;
    const settings = this.#registers[config] ?? 0;
    this.#registers[conversion] = this.#convert(settings) & 0xffff;
    this.#registers[config] = settings | idle;
    this.#readyAtS = settings & singleShot ? undefined : atS + this.#conversionS();
  }

  #convert(settings: number): number {
    const [positive, negative] = pairs[(settings >> 12) & 0x07] ?? pairs[0];
    const key = `${settings & 0x7e00}`;
    const before = this.#lastCode.get(key);
    if (before !== undefined && this.#isStill(positive, negative)) return before;
    const inputs = this.#inputs();
    const volts = inputs[positive] - (negative === undefined ? 0 : inputs[negative]);
    const fullScale = fullScaleVolts[(settings >> 9) & 0x07] ?? 2.048;
    const exact = (volts * this.#gainFactor * 32_768) / fullScale;
    const code = Math.round(exact + this.#offsetCodes + this.#chance.normal() * noiseCodes);
    const clipped = Math.min(Math.max(code, -32_768), 32_767);
    this.#lastCode.set(key, clipped);
    return clipped;
  }
}
