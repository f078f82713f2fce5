import { measuredEmfMicrovolts, thermocoupleCurve } from '../../../calibration/index.js';
import type { Channel } from '../../channels/table.js';
import type { Probe } from '../../kit/schema.js';
import type { Surroundings } from '../probes/wired-probe.js';
import { ProbeCircuit } from './probe-circuit.js';

/** Class 1 wire of type K: 0.4 % (IEC 60584-1, from memory), taken as a share of the EMF. */
const wireWithin = 0.003;

type BareChannel = Extract<Channel, { kind: 'thermocouple-ads1115' }>;

/** A thermocouple straight on two inputs of a converter, one of them at ground. */
export class BareThermocouple extends ProbeCircuit {
  readonly #channel: BareChannel;
  readonly #wireFactor: number;
  #microvolts = 0;

  constructor(probe: Probe, channel: BareChannel, seed: number, exact: boolean) {
    super(probe, seed, exact);
    this.#channel = channel;
    this.#wireFactor = 1 + this.within(wireWithin);
  }

  get volts(): number {
    return this.#microvolts * 1e-6;
  }

  /** `boardC` is where the wires end in copper. A broken or shorted pair gives nothing: no chip is there to say so. */
  protected take({ elementC, boardC }: Surroundings): void {
    if (this.broken || this.fault === 'short') {
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
