import { platinumOhms } from '../../../calibration/index.js';
import type { Channel } from '../../channels/table.js';
import type { Probe } from '../../kit/schema.js';
import { chanceFor, deviation } from '../chance.js';
import { LooseContact } from '../probes/loose-contact.js';
import type { ProbeFault } from '../probes/probe-fault.js';
import type { Surroundings, WiredProbe } from '../probes/wired-probe.js';

type PlatinumChannel = Extract<Channel, { kind: 'platinum-divider-ads1115' }>;

/** Class B at 0 C is 0.12 % of the resistance (IEC 60751); the fixed resistor within 1 %; two leads of up to half an ohm. */
const elementWithin = 0.0012;
const resistorWithin = 0.01;
const leadsWithinOhms = 0.25;

/** A platinum element to ground and a resistor to the supply; the input sees a share of it. */
export class PlatinumDivider implements WiredProbe {
  readonly probe: Probe;
  fault: ProbeFault | undefined;
  readonly #r0Ohms: number;
  readonly #resistorOhms: number;
  readonly #leadOhms: number;
  readonly #contact: LooseContact;
  #elementOhms = Number.POSITIVE_INFINITY;

  /** `exact` leaves out the deviations of the parts. */
  constructor(probe: Probe, channel: PlatinumChannel, seed: number, exact: boolean) {
    const chance = chanceFor(seed, probe.id);
    const within = (tolerance: number) => (exact ? 0 : deviation(chance, tolerance));
    this.probe = probe;
    this.#r0Ohms = channel.r0Ohms * (1 + within(elementWithin));
    this.#resistorOhms = channel.resistorOhms * (1 + within(resistorWithin));
    this.#leadOhms = exact ? 0 : leadsWithinOhms + within(leadsWithinOhms);
    this.#contact = new LooseContact(chance);
  }

  advance(dtS: number, { elementC }: Surroundings): void {
    this.#contact.advance(dtS);
    if (this.fault !== 'stuck')
      this.#elementOhms = platinumOhms(this.#r0Ohms, Math.min(Math.max(elementC, -60), 600)) + this.#leadOhms;
  }

  /** A value without life: no noise may be added. */
  get still(): boolean {
    return this.fault === 'stuck';
  }

  /** Share of the supply at the input, 0 to 1. */
  share(): number {
    if (this.fault === 'short-to-ground' || this.fault === 'short') return 0;
    const broken = this.fault === 'open' || (this.fault === 'loose' && this.#contact.broken);
    if (this.fault === 'short-to-supply' || broken) return 1;
    return this.#elementOhms / (this.#elementOhms + this.#resistorOhms);
  }
}
