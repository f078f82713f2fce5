import { shapeOf, type ThermistorLaw, thermistorOhms } from '../../../calibration/index.js';
import type { Channel } from '../../channels/table.js';
import type { Probe } from '../../kit/schema.js';
import type { Surroundings } from '../probes/wired-probe.js';
import { ProbeCircuit } from './probe-circuit.js';

/** What ordinary parts are sold with: resistance at 25 C, beta and fixed resistor each within 1 % (datasheets). */
const r25Within = 0.01;
const betaWithin = 0.01;
const resistorWithin = 0.01;
/** How far a resistor is off that was taken from the wrong drawer. */
const wrongResistorFactor = 0.1;

type NtcChannel = Extract<Channel, { kind: 'ntc-divider' | 'ntc-divider-ads1115' }>;

/** A thermistor and a resistor across the supply; the pin sees a share of it, whatever the supply is. */
export class NtcDivider extends ProbeCircuit {
  readonly #channel: NtcChannel;
  readonly #law: ThermistorLaw;
  readonly #resistanceFactor: number;
  readonly #resistorOhms: number;
  #thermistorOhms = Number.POSITIVE_INFINITY;

  /**
   * `exact` leaves out the deviations of the parts. Otherwise a thermistor sold by its beta has the curvature of real
   * material, which the beta does not give: that too is for calibration to find.
   */
  constructor(probe: Probe, channel: NtcChannel, seed: number, exact: boolean) {
    super(probe, seed, exact);
    this.#channel = channel;
    const betaFactor = 1 + this.within(betaWithin);
    const { thermistor } = channel;
    this.#law =
      thermistor.law === 'beta' && !exact
        ? shapeOf({ ...thermistor, betaK: thermistor.betaK * betaFactor })
        : thermistor;
    this.#resistanceFactor = 1 + this.within(r25Within);
    this.#resistorOhms = channel.resistorOhms * (1 + this.within(resistorWithin));
  }

  protected take({ elementC }: Surroundings): void {
    this.#thermistorOhms = thermistorOhms(this.#law, clampedC(elementC)) * this.#resistanceFactor;
  }

  /** Share of the supply at the pin, 0 to 1. */
  share(): number {
    if (this.fault === 'short-to-ground') return 0;
    if (this.fault === 'short-to-supply') return 1;
    const thermistor = this.broken
      ? Number.POSITIVE_INFINITY
      : this.fault === 'short'
        ? 0
        : this.#thermistorOhms;
    const fixed = this.#resistorOhms * (this.fault === 'wrong-resistor' ? wrongResistorFactor : 1);
    const acrossThermistor = Number.isFinite(thermistor) ? thermistor / (thermistor + fixed) : 1;
    return this.#channel.thermistorSide === 'low' ? acrossThermistor : 1 - acrossThermistor;
  }
}

/** The laws mean nothing far beyond what a bead survives; the bench's bead survives and stays at the end of its range. */
const clampedC = (celsius: number): number => Math.min(Math.max(celsius, -60), 300);
