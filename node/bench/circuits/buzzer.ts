import type { BuzzerCurrentWiring } from '../../kit/buzzer-current.js';

/** What can be wrong with the buzzer and its two transistors, and what it looks like. */
export const buzzerFaults = {
  dead: 'the buzzer is dead, or has no supply',
  'pin-wire': 'the wire of the buzzer pin is broken, so that only a dead computer is heard',
  circuit: 'Q2 is open, so that only an alarm is heard',
  'always-on': 'Q3 is shorted, so that it never stops',
  'shunt-open': 'the shunt has come off, and with it the way to 0 V',
} as const;
export type BuzzerFault = keyof typeof buzzerFaults;

/** A tone is current in pulses; behind the low-pass their mean is left. Invented within 50 to 100 % of the rated current. */
const meanOfRated = 0.6;

/** The buzzer on its supply of its own, with the shunt where a kit has one. */
export class Buzzer {
  fault: BuzzerFault | undefined;
  readonly #wiring: BuzzerCurrentWiring | undefined;

  constructor(wiring: BuzzerCurrentWiring | undefined) {
    this.#wiring = wiring;
  }

  /** Whether it sounds, with its pin and the missing-pulse circuit as they are. */
  sounds(pinHigh: boolean, circuitSounds: boolean): boolean {
    if (this.fault === 'dead' || this.fault === 'shunt-open') return false;
    if (this.fault === 'always-on') return true;
    return (pinHigh && this.fault !== 'pin-wire') || (circuitSounds && this.fault !== 'circuit');
  }

  /** What the pin of the read-back sees, as a share of the board's supply. */
  share(pinHigh: boolean, circuitSounds: boolean): number {
    if (!this.#wiring) return 0;
    const { shuntOhms, ratedMilliamps, supplyVolts } = this.#wiring;
    if (this.fault === 'shunt-open') return pinHigh || circuitSounds ? 1 : 0;
    const amps = this.sounds(pinHigh, circuitSounds) ? (ratedMilliamps / 1000) * meanOfRated : 0;
    return (amps * shuntOhms) / supplyVolts;
  }
}
