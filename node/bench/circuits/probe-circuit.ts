import type { Probe } from '../../kit/schema.js';
import { chanceFor, deviation } from '../chance.js';
import { LooseContact } from '../probes/loose-contact.js';
import type { ProbeFault } from '../probes/probe-fault.js';
import type { Surroundings, WiredProbe } from '../probes/wired-probe.js';

/** What the circuits of the bench share: parts within their tolerance, and wires that can break. */
export abstract class ProbeCircuit implements WiredProbe {
  readonly probe: Probe;
  fault: ProbeFault | undefined;
  /** How far a part is off, drawn within its tolerance; 0 where `exact` leaves the deviations out. */
  protected readonly within: (tolerance: number) => number;
  readonly #contact: LooseContact;

  constructor(probe: Probe, seed: number, exact: boolean) {
    const chance = chanceFor(seed, probe.id);
    this.probe = probe;
    this.within = (tolerance) => (exact ? 0 : deviation(chance, tolerance));
    this.#contact = new LooseContact(chance);
  }

  /** A value without life: no noise may be added. */
  get still(): boolean {
    return this.fault === 'stuck';
  }

  protected get broken(): boolean {
    return this.fault === 'open' || (this.fault === 'loose' && this.#contact.broken);
  }

  advance(dtS: number, surroundings: Surroundings): void {
    this.#contact.advance(dtS);
    if (!this.still) this.take(surroundings);
  }

  /** Takes what surrounds the circuit now. */
  protected abstract take(surroundings: Surroundings): void;
}
