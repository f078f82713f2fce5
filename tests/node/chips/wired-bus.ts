import type { TwoWireChip } from '../../../node/bench/board/two-wire-bus.js';
import type { I2cAnswer, I2cBus } from '../../../node/bus/i2c-bus.js';

/** Chips on two open-drain wires without a board: every chip that bears the address answers, and a low bit wins. */
export class WiredBus implements I2cBus {
  readonly #chips: readonly TwoWireChip[];
  /** Called before each transaction, for time to pass. */
  readonly #before: () => void;

  constructor(chips: readonly TwoWireChip[], before: () => void) {
    this.#chips = chips;
    this.#before = before;
  }

  async read(address: number, register: number, byteCount: number): Promise<I2cAnswer> {
    const spoken = this.#spokenTo(address, register);
    if (spoken.length === 0) return { kind: 'no-answer', why: 'not-acknowledged' };
    for (const chip of spoken) chip.begin(false, 0);
    const byte = () => spoken.reduce((wires, chip) => wires & chip.read(), 0xff);
    return { kind: 'bytes', bytes: Array.from({ length: byteCount }, byte) };
  }

  async write(address: number, [register = 0, ...bytes]: readonly number[]): Promise<void> {
    for (const chip of this.#spokenTo(address, register)) for (const byte of bytes) chip.write(byte);
  }

  #spokenTo(address: number, register: number): TwoWireChip[] {
    this.#before();
    const spoken = this.#chips.filter((chip) => chip.address === address && chip.begin(true, 0));
    for (const chip of spoken) chip.write(register);
    return spoken;
  }
}
