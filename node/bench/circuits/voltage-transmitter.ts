import type { Probe } from '../../kit/schema.js';
import type { Surroundings } from '../probes/wired-probe.js';
import { ProbeCircuit } from './probe-circuit.js';

/** What turns a true value into a share of the supply, and how far a part may be off. */
export type Transmitter = {
  readonly valueIn: (surroundings: Surroundings) => number;
  readonly shareOf: (value: number) => number;
  /** Zero and span error of the part, as shares of the supply and of the value, at most. */
  readonly zeroWithin: number;
  readonly spanWithin: number;
};

/** A transmitter with three wires whose output is a share of its supply; a resistor pulls a broken wire to ground. */
export class VoltageTransmitter extends ProbeCircuit {
  readonly #transmitter: Transmitter;
  readonly #zeroShare: number;
  readonly #spanFactor: number;
  #value = 0;

  constructor(probe: Probe, transmitter: Transmitter, seed: number, exact: boolean) {
    super(probe, seed, exact);
    this.#transmitter = transmitter;
    this.#zeroShare = this.within(transmitter.zeroWithin);
    this.#spanFactor = 1 + this.within(transmitter.spanWithin);
  }

  protected take(surroundings: Surroundings): void {
    // A port that is blocked keeps its pressure while the electronics live on.
    if (this.fault !== 'blocked-port') this.#value = this.#transmitter.valueIn(surroundings);
  }

  share(): number {
    if (this.broken || this.fault === 'short-to-ground' || this.fault === 'short') return 0;
    if (this.fault === 'short-to-supply') return 1;
    const share = this.#transmitter.shareOf(this.#value * this.#spanFactor) + this.#zeroShare;
    return Math.min(1, Math.max(0, share));
  }
}
