import { lagged } from './heat.js';
import type { ThermostatTraits } from './traits.js';

/** Full stroke of a valve that has broken free, per second. */
const strokePerS = 0.25;

/** A wax thermostat: late, with hysteresis, sometimes sticky, seldom quite tight. */
export class Thermostat {
  /** 0 shut to 1 open; a leak shows as more than 0. */
  open: number;
  private position = 0;
  private waxC: number;
  private readonly traits: ThermostatTraits;

  constructor(traits: ThermostatTraits, startC: number) {
    this.traits = traits;
    this.waxC = startC;
    this.open = traits.leak;
  }

  step(dtS: number, coolantC: number): void {
    const { opensC, spanK, hysteresisK, waxS, stick, leak } = this.traits;
    this.waxC = lagged(this.waxC, coolantC, dtS, waxS);
    // Opening follows the warming curve, closing the cooling curve below it; between the two the valve rests.
    const opening = clamp((this.waxC - opensC) / spanK);
    const closing = clamp((this.waxC - opensC + hysteresisK) / spanK);
    const target = Math.max(opening, Math.min(this.position, closing));
    const away = target - this.position;
    if (Math.abs(away) > stick || target === 0 || target === 1) {
      const most = strokePerS * dtS;
      this.position += Math.max(-most, Math.min(most, away));
    }
    this.open = leak + (1 - leak) * this.position;
  }
}

const clamp = (value: number): number => Math.max(0, Math.min(1, value));
