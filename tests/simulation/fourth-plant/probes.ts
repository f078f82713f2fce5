import { ProbeElement } from '../../../node/bench/plant/probe-element.js';
import type { Streams } from './laws.js';
import type { Traits } from './traits.js';
import type { WetExhaust } from './wet-exhaust.js';

type Touched = {
  readonly exhaust: WetExhaust;
  readonly streams: Streams;
  readonly riserC: number;
  readonly fallen: boolean;
};

/**
 * Elements between all that touches them: each contact has its conductance, and lag and error come from one balance. Which
 * part of the elbow's temperature the strap feels depends on how near the riser it sits.
 */
export class Probes {
  readonly strap: ProbeElement;
  readonly well: ProbeElement;
  readonly gas: ProbeElement;
  private readonly traits: Traits;

  constructor(traits: Traits, roomC: number) {
    this.traits = traits;
    this.strap = new ProbeElement(roomC);
    this.well = new ProbeElement(roomC);
    this.gas = new ProbeElement(roomC);
  }

  step(dtS: number, { exhaust, streams, riserC, fallen }: Touched, roomC: number): void {
    const { probes: p, ratedKw } = this.traits;
    const breeze = (streams.gasKgPerS / (0.0016 * ratedKw)) ** 0.6;
    const still = p.gasTauS / p.gasStillTauS;
    const gasC = streams.gasC - p.gasStem * (streams.gasC - riserC);
    this.gas.follow((breeze * gasC + still * riserC) / (breeze + still), p.gasTauS / (breeze + still), dtS);
    if (fallen) {
      this.strap.follow(roomC, 60, dtS);
      this.well.follow(roomC, 60, dtS);
      return;
    }
    const metalC = exhaust.elbowC + p.nearRiser * (riserC - exhaust.elbowC);
    this.strap.follow(metalC + p.roomLeak * (roomC - metalC), p.strapTauS, dtS);
    const here = exhaust.along(0.5, streams);
    const film = streams.waterKgPerS > 0 ? exhaust.wetted : 0;
    const gas = p.wellGas * (1 - exhaust.wetted) * breeze;
    const touch = film + gas + p.wellStem;
    const wellC = (film * here.filmC + gas * here.gasC + p.wellStem * exhaust.elbowC) / touch;
    this.well.follow(wellC, p.wellWetTauS / touch, dtS);
  }
}
