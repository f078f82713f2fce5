import { ad8495Volts } from '../../../calibration/index.js';
import type { Channel } from '../../channels/table.js';
import type { Probe } from '../../kit/schema.js';
import type { Surroundings } from '../probes/wired-probe.js';
import { ProbeCircuit } from './probe-circuit.js';

/** Initial accuracy of the C grade, and its share of the board's temperature (AD8494/5/6/7 datasheet rev C). */
const initialWithinC = 1;
const ambientRejectionWithin = 0.025;
const voltsPerC = 0.005;
/** How near to its rails the output comes, in volts (from memory: rail to rail within some tens of millivolts). */
const railMarginVolts = 0.03;

type Ad8495Channel = Extract<Channel, { kind: 'ad8495' | 'ad8495-ads1115' }>;

/** The thermocouple amplifier as its output pin shows it, clipped at the rails of a real, not a nominal, supply. */
export class Ad8495Output extends ProbeCircuit {
  readonly #channel: Ad8495Channel;
  readonly #offsetC: number;
  readonly #ambientShare: number;
  readonly #supplyVolts: number;
  #volts = 0;

  /** `supplyVolts` is the true supply, not the nominal one. */
  constructor(probe: Probe, channel: Ad8495Channel, supplyVolts: number, seed: number, exact: boolean) {
    super(probe, seed, exact);
    this.#channel = channel;
    this.#offsetC = this.within(initialWithinC);
    this.#ambientShare = this.within(ambientRejectionWithin);
    this.#supplyVolts = supplyVolts;
  }

  protected take({ elementC, boardC }: Surroundings): void {
    const { referenceVolts } = this.#channel;
    const ideal = this.#idealVolts(elementC, boardC, referenceVolts);
    const errorC = this.#offsetC + this.#ambientShare * (boardC - 25);
    const top = this.#supplyVolts - railMarginVolts;
    // With the usual pull on its input an open thermocouple drives the output to the upper rail.
    const volts = this.broken ? top : ideal + errorC * voltsPerC;
    this.#volts = Math.min(Math.max(volts, railMarginVolts), top);
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
