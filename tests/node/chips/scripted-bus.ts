import { expect } from 'vitest';
import type { I2cAnswer, I2cBus } from '../../../node/bus/i2c-bus.js';

type Step =
  | {
      readonly read: readonly [pointer: number, bytes: number];
      readonly gives: readonly number[] | 'nothing';
    }
  | { readonly write: readonly number[] };

const notAcknowledged: I2cAnswer = {
  kind: 'no-answer',
  why: 'not-acknowledged',
  detail: 'as the script says',
};

/** Expects exactly these transactions with one address, in order; says at which one the driver strayed. */
export class ScriptedBus implements I2cBus {
  readonly #address: number;
  readonly #steps: readonly Step[];
  #at = 0;

  constructor(address: number, steps: readonly Step[]) {
    this.#address = address;
    this.#steps = steps;
  }

  async read(address: number, pointer: number, bytes: number): Promise<I2cAnswer> {
    const step = this.#next();
    expect({ address, read: [pointer, bytes] }, this.#where()).toEqual({
      address: this.#address,
      read: step && 'read' in step ? step.read : step,
    });
    const gives = step && 'read' in step ? step.gives : 'nothing';
    return gives === 'nothing' ? notAcknowledged : { kind: 'bytes', bytes: gives };
  }

  async write(address: number, bytes: readonly number[]): Promise<void> {
    const step = this.#next();
    expect({ address, write: bytes }, this.#where()).toEqual({
      address: this.#address,
      write: step && 'write' in step ? step.write : step,
    });
  }

  done(): void {
    expect(this.#at, 'transactions of the script that were carried out').toBe(this.#steps.length);
  }

  #next(): Step | undefined {
    return this.#steps[this.#at++];
  }

  #where(): string {
    return `transaction ${this.#at} of ${this.#steps.length}`;
  }
}
