import { ad8495Volts } from '../../../calibration/index.js';
import type { Channel } from '../../channels/table.js';
import type { Probe } from '../../kit/schema.js';
import { chanceFor, deviation } from '../chance.js';
import { LooseContact } from '../probes/loose-contact.js';
import type { ProbeFault } from '../probes/probe-fault.js';
import type { Surroundings, WiredProbe } from '../probes/wired-probe.js';

/** Initial accuracy of the C grade, and its share of the board's temperature (AD8494/5/6/7 datasheet rev C). */
const initialWithinC = 1;
const ambientRejectionWithin = 0.025;
const voltsPerC = 0.005;
/** How near to its rails the output comes, in volts (from memory: rail to rail within some tens of millivolts). */
const railMarginVolts = 0.03;

type Ad8495Channel = Extract<Channel, { kind: 'ad8495' | 'ad8495-ads1115' }>;

/** The thermocouple amplifier as its output pin shows it, clipped at the rails of a real, not a nominal, supply. */
export class Ad8495Output implements WiredProbe {
  readonly probe: Probe;
  fault: ProbeFault | undefined;
  readonly #channel: Ad8495Channel;
  readonly #offsetC: number;
  readonly #ambientShare: number;
  readonly #supplyVolts: number;
  readonly #contact: LooseContact;
  #volts = 0;

  /** `supplyVolts` is the true supply, not the nominal one. */
  constructor(probe: Probe, channel: Ad8495Channel, supplyVolts: number, seed: number, exact: boolean) {
    const chance = chanceFor(seed, probe.id);
    const within = (tolerance: number) => (exact ? 0 : deviation(chance, tolerance));
    this.probe = probe;
    this.#channel = channel;
    this.#offsetC = within(initialWithinC);
    this.#ambientShare = within(ambientRejectionWithin);
    this.#supplyVolts = supplyVolts;
    this.#contact = new LooseContact(chance);
  }

  advance(dtS: number, { elementC, boardC }: Surroundings): void {
    this.#contact.advance(dtS);
    if (this.fault === 'stuck') return;
    const { referenceVolts } = this.#channel;
    const broken = this.fault === 'open' || (this.fault === 'loose' && this.#contact.broken);
    const ideal = this.#idealVolts(elementC, boardC, referenceVolts);
    const errorC = this.#offsetC + this.#ambientShare * (boardC - 25);
    const top = this.#supplyVolts - railMarginVolts;
    // With the usual pull on its input an open thermocouple drives the output to the upper rail.
    const volts = broken ? top : ideal + errorC * voltsPerC;
    this.#volts = Math.min(Math.max(volts, railMarginVolts), top);
  }

  get still(): boolean {
    return this.fault === 'stuck';
  }

  /** Share of the supply at the pin, 0 to 1. */
  share(): number {
    if (this.fault === 'short-to-ground') return 0;
    if (this.fault === 'short-to-supply') return 1;
    return this.#volts / this.#supplyVolts;
  }

  #idealVolts(elementC: number, boardC: number, referenceVolts: number): number {
    const at = (temperatureC: number) => ad8495Volts({ temperatureC, boardC, referenceVolts });
    // Wires that touch make a new junction at the terminals; swapped wires turn the difference around.
    if (this.fault === 'short') return at(boardC);
    if (this.fault === 'reversed') return 2 * at(boardC) - at(elementC);
    return at(elementC);
  }
}
