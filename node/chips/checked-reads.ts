import type { I2cBus } from '../bus/i2c-bus.js';

/** What can be wrong with any chip on the bus. */
export type ChipFault =
  | 'no-answer'
  /** Another chip than the kit says, or two chips that answer at once. */
  | 'wrong-chip'
  /** The chip's own registers do not belong together, as when two chips answer at once. */
  | 'two-chips'
  /** The bus did not wait for the chip, which then sends its last byte again. */
  | 'repeated-bytes'
  /** Readings of one moment contradict each other. */
  | 'not-settled'
  /** The chip does not keep its settings. */
  | 'misconfigured';

export type ChipBytes = {
  readonly kind: 'bytes';
  readonly bytes: readonly number[];
  readonly byteBefore: number | undefined;
};
export type NoAnswer = { readonly kind: 'fault'; readonly fault: 'no-answer'; readonly detail: string };

/** Reads registers of one chip, and remembers its last byte: a chip that was not waited for sends that again. */
export class CheckedReads {
  readonly label: string;
  readonly #bus: I2cBus;
  readonly #address: number;
  #lastByte: number | undefined;
  #byteBefore: number | undefined;

  constructor(bus: I2cBus, address: number) {
    this.#bus = bus;
    this.#address = address;
    this.label = `0x${address.toString(16)}`;
  }

  async read(register: { readonly pointer: number; readonly bytes: number }): Promise<ChipBytes | NoAnswer> {
    const answer = await this.#bus.read(this.#address, register.pointer, register.bytes);
    if (answer.kind === 'no-answer') return noAnswer(this.label, answer);
    this.#byteBefore = this.#lastByte;
    this.#lastByte = answer.bytes.at(-1);
    return { kind: 'bytes', bytes: answer.bytes, byteBefore: this.#byteBefore };
  }

  /** Whether the first byte of the last answer may have been the last byte of the answer before it. */
  isPreviousByte(byte: number): boolean {
    return byte === this.#byteBefore;
  }

  /** Whether one of two differing answers is the other with a byte sent twice. */
  looksRepeated(a: ChipBytes, b: ChipBytes): boolean {
    const at = a.bytes.findIndex((byte, index) => byte !== b.bytes[index]);
    return [a, b].some(({ bytes, byteBefore }) => bytes[at] === (at > 0 ? bytes[at - 1] : byteBefore));
  }
}

export const sameBytes = (a: readonly number[], b: readonly number[]): boolean =>
  a.every((byte, index) => byte === b[index]);

function noAnswer(
  label: string,
  { why, detail }: { readonly why: string; readonly detail?: string },
): NoAnswer {
  const inWords: Record<string, string> = {
    'not-acknowledged': 'Nothing acknowledges at this address. Check its four wires and the address jumper',
    timeout: 'No answer in time. A short on SDA or SCL holds the whole bus',
    'wrong-length': 'The answer had another length than was asked for',
    garbled: 'The link damaged the answer on its way',
    'board-away': 'The board is disconnected',
  };
  const said = detail === undefined ? '' : ` (${detail})`;
  return { kind: 'fault', fault: 'no-answer', detail: `${label}: ${inWords[why] ?? why}${said}.` };
}
