import type { Probe } from '../../kit/schema.js';
import { chanceFor, deviation } from '../chance.js';
import { LooseContact } from '../probes/loose-contact.js';
import type { ProbeFault } from '../probes/probe-fault.js';
import type { Surroundings, WiredProbe } from '../probes/wired-probe.js';

/** What turns a true value into a share of the supply, and how far a part may be off. */
export type Transmitter = {
  readonly valueIn: (surroundings: Surroundings) => number;
  readonly shareOf: (value: number) => number;
  /** Zero and span error of the part, as shares of the supply and of the value, at most. */
  readonly zeroWithin: number;
  readonly spanWithin: number;
};

/** A transmitter with three wires whose output is a share of its supply; a resistor pulls a broken wire to ground. */
export class VoltageTransmitter implements WiredProbe {
  readonly probe: Probe;
  fault: ProbeFault | undefined;
  readonly #transmitter: Transmitter;
  readonly #zeroShare: number;
  readonly #spanFactor: number;
  readonly #contact: LooseContact;
  #value = 0;

  constructor(probe: Probe, transmitter: Transmitter, seed: number, exact: boolean) {
    const chance = chanceFor(seed, probe.id);
    const within = (tolerance: number) => (exact ? 0 : deviation(chance, tolerance));
    this.probe = probe;
    this.#transmitter = transmitter;
    this.#zeroShare = within(transmitter.zeroWithin);
    this.#spanFactor = 1 + within(transmitter.spanWithin);
    this.#contact = new LooseContact(chance);
  }

  get still(): boolean {
    return this.fault === 'stuck';
  }

  advance(dtS: number, surroundings: Surroundings): void {
    this.#contact.advance(dtS);
    // A port that is blocked keeps its pressure while the electronics live on.
    if (this.fault !== 'stuck' && this.fault !== 'blocked-port')
      this.#value = this.#transmitter.valueIn(surroundings);
  }

  share(): number {
    const broken = this.fault === 'open' || (this.fault === 'loose' && this.#contact.broken);
    if (broken || this.fault === 'short-to-ground' || this.fault === 'short') return 0;
    if (this.fault === 'short-to-supply') return 1;
    const share = this.#transmitter.shareOf(this.#value * this.#spanFactor) + this.#zeroShare;
    return Math.min(1, Math.max(0, share));
  }
}
