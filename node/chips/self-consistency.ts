import { type ThermocoupleCurve, ThermometryError } from '../../calibration/index.js';
import { type CheckedReads, type NoAnswer, sameBytes } from './checked-reads.js';
import { decodeMcpEmfMicrovolts, decodeMcpTemperatureC, mcpRegister } from './mcp960x-registers.js';

/**
 * The chip works out its hot junction from the same voltage and cold junction. How far that may be from the ITS-90
 * curve: more than twice the accuracy of the whole chip (datasheet DS20005426: 1.5 C), and a share for the gain of the
 * raw voltage, which the datasheet leaves open. Generous, because refusing a healthy chip would be worse than believing
 * two chips that agree; two that differ mostly miss by tens of degrees.
 */
const selfConsistentWithinC = 4;
const selfConsistentWithinShare = 0.02;
/**
 * By chance two chips agree now and then. One contradiction may be a damaged byte and costs one sample; a second within
 * this many samples, and nothing is believed until this many in a row had none: about 10 s and 5 s.
 */
const secondWithin = 50;
const cleanAfterwards = 25;

/** Voltage and cold junction, read as one. */
type Pair = { readonly emfMicrovolts: number; readonly coldJunctionC: number };
type Doubt = {
  readonly kind: 'doubt';
  readonly fault: 'two-chips' | 'not-settled';
  readonly message: string;
};

/**
 * Two chips on one address pull the same wires, and a low bit wins: each register is then the AND of both, which
 * looks like a number. Only together do the registers show that they are not those of one chip: the hot junction that
 * an MCP960x works out by itself is the sum of the other two.
 */
export class SelfConsistency {
  readonly #reads: CheckedReads;
  readonly #curve: ThermocoupleCurve;
  #watchedFor = 0;
  #doubtedFor = 0;

  constructor(reads: CheckedReads, curve: ThermocoupleCurve) {
    this.#reads = reads;
    this.#curve = curve;
  }

  /** Why the pair cannot be true, or nothing. Ask only after a conversion has finished. */
  async check(pair: Pair): Promise<Doubt | NoAnswer | undefined> {
    const expectedC = this.#hotJunctionC(pair);
    const hot = await this.#reads.read(mcpRegister.hotJunction);
    if (hot.kind === 'fault') return hot;
    const saysC = decodeMcpTemperatureC(hot.bytes);
    const withinC = selfConsistentWithinC + selfConsistentWithinShare * Math.abs(expectedC ?? 0);
    if (expectedC !== undefined && Math.abs(saysC - expectedC) <= withinC) return this.#agreed();
    // On a fast rise a conversion may have come in between: then the voltage is another by now.
    const now = await this.#reads.read(mcpRegister.rawAdc);
    if (now.kind === 'fault') return now;
    if (decodeMcpEmfMicrovolts(now.bytes) !== pair.emfMicrovolts)
      return doubt('not-settled', 'The voltage changed while the hot junction was read.');
    // Two chips say the same again; a byte that was damaged on its way does not.
    const again = await this.#reads.read(mcpRegister.hotJunction);
    if (again.kind === 'fault') return again;
    if (!sameBytes(hot.bytes, again.bytes))
      return doubt('not-settled', 'The hot junction changed while it was read.');
    if (this.#watchedFor > 0) this.#doubtedFor = cleanAfterwards;
    this.#watchedFor = secondWithin;
    const made = expectedC === undefined ? 'no temperature' : `${expectedC.toFixed(1)} C`;
    return doubt(
      'two-chips',
      `It says ${saysC.toFixed(1)} C, but its own voltage and cold junction make ${made}: two chips on this address?`,
    );
  }

  /** One that agrees is believed unless it comes in a row of contradictions. */
  #agreed(): Doubt | undefined {
    this.#watchedFor = Math.max(0, this.#watchedFor - 1);
    if (this.#doubtedFor === 0) return undefined;
    this.#doubtedFor--;
    return doubt(
      'two-chips',
      'Its registers contradicted each other a moment ago: two chips on this address?',
    );
  }

  #hotJunctionC({ emfMicrovolts, coldJunctionC }: Pair): number | undefined {
    try {
      return this.#curve.temperatureC(emfMicrovolts + this.#curve.emfMicrovolts(coldJunctionC));
    } catch (error) {
      if (error instanceof ThermometryError) return undefined;
      throw error;
    }
  }
}

const doubt = (fault: Doubt['fault'], message: string): Doubt => ({ kind: 'doubt', fault, message });
