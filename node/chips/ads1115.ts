import type { I2cBus } from '../bus/i2c-bus.js';
import {
  type AdsGain,
  type AdsInput,
  type AdsRate,
  adsConversionMs,
  adsFullScaleVolts,
  adsRegister,
  adsVolts,
  decodeAdsCode,
  decodeAdsConfig,
  encodeAdsConversion,
} from './ads1115-registers.js';
import { CheckedReads, type ChipFault } from './checked-reads.js';

export type Ads1115Answer =
  | {
      readonly kind: 'sample';
      readonly volts: number;
      /** One step of the converter at the gain that was used. */
      readonly stepVolts: number;
      /** The code is at an end of the widest range: the true voltage is beyond it. */
      readonly atLimit: boolean;
    }
  | { readonly kind: 'fault'; readonly fault: ChipFault; readonly detail: string };

/** Waits for the chip; given so that a test need not sleep. */
export type Wait = (ms: number) => Promise<void>;
const realWait: Wait = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** 128 conversions a second: 8 ms each, and still the full 16 bits without missing codes (SBAS444D table 1). */
const standardRate: AdsRate = 4;
/** Asked so often whether it is ready, 1 ms apart, after the longest time its clock allows. */
const mostReadyChecks = 5;
/** The next input is measured so that it fills at most this share of the range, with room for a jump. */
const comfortableShare = 0.8;
const widest: AdsGain = 0;

/**
 * One ADS1115 on a bus, addresses 0x48 to 0x4B. One conversion at a time, whichever input asks: the chip has
 * one converter, and a second request would silently change the first one's input.
 */
export class Ads1115 {
  readonly #bus: I2cBus;
  readonly #address: number;
  readonly #reads: CheckedReads;
  readonly #wait: Wait;
  readonly #gains = new Map<AdsInput, AdsGain>();
  #last: Promise<unknown> = Promise.resolve();

  constructor(bus: I2cBus, address: number, wait: Wait = realWait) {
    this.#bus = bus;
    this.#address = address;
    this.#reads = new CheckedReads(bus, address);
    this.#wait = wait;
  }

  /** The voltage of one input, or between two; the gain follows the signal. Never rejects. */
  read(input: AdsInput): Promise<Ads1115Answer> {
    const mine = this.#last
      .then(() => this.#measure(input))
      .catch((error: unknown) =>
        this.#fault('no-answer', `It could not be asked: ${(error as Error).message}`),
      );
    this.#last = mine;
    return mine;
  }

  async #measure(input: AdsInput): Promise<Ads1115Answer> {
    const gain = this.#gains.get(input) ?? widest;
    const first = await this.#convert(input, gain);
    // A signal that outgrew the range it had is measured once more with the widest.
    const outgrown = first.kind === 'sample' && first.atLimit && gain !== widest;
    const answer = outgrown ? await this.#convert(input, widest) : first;
    if (answer.kind === 'sample') this.#gains.set(input, gainFor(answer.volts));
    return answer;
  }

  async #convert(input: AdsInput, gain: AdsGain): Promise<Ads1115Answer> {
    const config = encodeAdsConversion(input, gain, standardRate);
    await this.#bus.write(this.#address, [adsRegister.config.pointer, config >> 8, config & 0xff]);
    await this.#wait(adsConversionMs(standardRate));
    const unready = await this.#awaitReady(decodeAdsConfig(config).settings);
    if (unready !== undefined) return unready;
    const once = await this.#reads.read(adsRegister.conversion);
    if (once.kind === 'fault') return once;
    // A finished conversion stays: two readings of it must agree, or the link damaged one.
    const again = await this.#reads.read(adsRegister.conversion);
    if (again.kind === 'fault') return again;
    const code = decodeAdsCode(again.bytes);
    if (decodeAdsCode(once.bytes) !== code)
      return this.#fault('not-settled', 'One conversion was read twice and differs.');
    return {
      kind: 'sample',
      volts: adsVolts(code, gain),
      stepVolts: adsVolts(1, gain),
      atLimit: code === 32_767 || code === -32_768,
    };
  }

  async #awaitReady(settings: number): Promise<Ads1115Answer | undefined> {
    for (let check = 0; check < mostReadyChecks; check++) {
      const answer = await this.#reads.read(adsRegister.config);
      if (answer.kind === 'fault') return answer;
      const [high = 0, low = 0] = answer.bytes;
      const found = decodeAdsConfig((high << 8) | low);
      if (found.settings !== settings)
        return this.#fault(
          'wrong-chip',
          'It does not keep an ADS1115 configuration. Check the address in the kit file.',
        );
      if (found.ready) return undefined;
      await this.#wait(1);
    }
    return this.#fault('not-settled', 'Its conversion does not finish.');
  }

  #fault(fault: ChipFault, detail: string): Ads1115Answer {
    return { kind: 'fault', fault, detail: `${this.#reads.label}: ${detail}` };
  }
}

/** The narrowest range that the signal fills comfortably. */
export function gainFor(volts: number): AdsGain {
  const narrowest = adsFullScaleVolts.findLastIndex(
    (fullScale) => Math.abs(volts) <= comfortableShare * fullScale,
  );
  return Math.max(narrowest, widest) as AdsGain;
}
