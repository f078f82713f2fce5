import { measuredEmfMicrovolts, thermocoupleCurve } from '../../../calibration/index.js';
import type { Channel } from '../../channels/table.js';
import type { Probe } from '../../kit/schema.js';
import { chanceFor, deviation } from '../chance.js';
import { LooseContact } from '../probes/loose-contact.js';
import type { ProbeFault } from '../probes/probe-fault.js';
import type { Surroundings, WiredProbe } from '../probes/wired-probe.js';

/** Class 1 wire of type K: 0.4 % (IEC 60584-1, from memory), taken as a share of the EMF. */
const wireWithin = 0.003;

type BareChannel = Extract<Channel, { kind: 'thermocouple-ads1115' }>;

/** A thermocouple straight on two inputs of a converter, one of them at ground. */
export class BareThermocouple implements WiredProbe {
  readonly probe: Probe;
  fault: ProbeFault | undefined;
  readonly #channel: BareChannel;
  readonly #wireFactor: number;
  readonly #contact: LooseContact;
  #microvolts = 0;

  constructor(probe: Probe, channel: BareChannel, seed: number, exact: boolean) {
    const chance = chanceFor(seed, probe.id);
    this.probe = probe;
    this.#channel = channel;
    this.#wireFactor = 1 + (exact ? 0 : deviation(chance, wireWithin));
    this.#contact = new LooseContact(chance);
  }

  get still(): boolean {
    return this.fault === 'stuck';
  }

  get volts(): number {
    return this.#microvolts * 1e-6;
  }

  /** `boardC` is where the wires end in copper. A broken or shorted pair gives nothing: no chip is there to say so. */
  advance(dtS: number, { elementC, boardC }: Surroundings): void {
    this.#contact.advance(dtS);
    if (this.still) return;
    const broken = this.fault === 'open' || (this.fault === 'loose' && this.#contact.broken);
    if (broken || this.fault === 'short') {
      this.#microvolts = 0;
      return;
    }
    const { minC, maxC } = thermocoupleCurve(this.#channel.thermocouple);
    const within = (celsius: number) => Math.min(Math.max(celsius, minC), maxC);
    const type = this.#channel.thermocouple;
    const emf = measuredEmfMicrovolts({
      type,
      temperatureC: within(elementC),
      coldJunctionC: within(boardC),
    });
    this.#microvolts = emf * this.#wireFactor * (this.fault === 'reversed' ? -1 : 1);
  }
}
