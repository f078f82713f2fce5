import { platinumOhms } from '../../../calibration/index.js';
import type { Channel } from '../../channels/table.js';
import type { Probe } from '../../kit/schema.js';
import type { Surroundings } from '../probes/wired-probe.js';
import { ProbeCircuit } from './probe-circuit.js';

type PlatinumChannel = Extract<Channel, { kind: 'platinum-divider-ads1115' }>;

/** Class B at 0 C is 0.12 % of the resistance (IEC 60751); the fixed resistor within 1 %; two leads of up to half an ohm. */
const elementWithin = 0.0012;
const resistorWithin = 0.01;
const leadsWithinOhms = 0.25;

/** A platinum element to ground and a resistor to the supply; the input sees a share of it. */
export class PlatinumDivider extends ProbeCircuit {
  readonly #r0Ohms: number;
  readonly #resistorOhms: number;
  readonly #leadOhms: number;
  #elementOhms = Number.POSITIVE_INFINITY;

  /** `exact` leaves out the deviations of the parts. */
  constructor(probe: Probe, channel: PlatinumChannel, seed: number, exact: boolean) {
    super(probe, seed, exact);
    this.#r0Ohms = channel.r0Ohms * (1 + this.within(elementWithin));
    this.#resistorOhms = channel.resistorOhms * (1 + this.within(resistorWithin));
    this.#leadOhms = exact ? 0 : leadsWithinOhms + this.within(leadsWithinOhms);
  }

  protected take({ elementC }: Surroundings): void {
    this.#elementOhms = platinumOhms(this.#r0Ohms, Math.min(Math.max(elementC, -60), 600)) + this.#leadOhms;
  }

  /** Share of the supply at the input, 0 to 1. */
  share(): number {
    if (this.fault === 'short-to-ground' || this.fault === 'short') return 0;
    if (this.fault === 'short-to-supply' || this.broken) return 1;
    return this.#elementOhms / (this.#elementOhms + this.#resistorOhms);
  }
}
