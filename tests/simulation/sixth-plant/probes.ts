import type { Random } from '../../../node/bench/plant/random.js';
import type { Elbow } from './elbow.js';
import { relax, wander } from './relax.js';
import type { EngineTraits, WiringTraits } from './traits.js';

/** What wire, plug and alternator add to the temperature of an element, K. */
export class Wiring {
  private corroded = 0;
  private readonly traits: WiringTraits;
  private readonly random: Random;

  constructor(traits: WiringTraits, random: Random) {
    this.traits = traits;
    this.random = random;
    this.corroded = random.normal();
  }

  /** `charge`: how hard the alternator works, 0 to 1. */
  step(dtS: number, charge: number): number {
    const { rippleK, shiftK, contactK, contactS } = this.traits;
    this.corroded = wander(this.corroded, dtS, contactS, this.random.normal());
    return (
      charge * (shiftK + rippleK * this.random.normal()) - contactK * Math.min(1.5, Math.abs(this.corroded))
    );
  }
}

/** Ring on the body's outside, well in the stream and thermocouple before the water, as the electronics see them. */
export class Probes {
  ringC: number;
  wellC: number;
  gasC: number;
  private padC: number;
  private beadC: number;
  private wellElementC: number;
  private sheathC: number;
  private readonly elbowWiring: Wiring;
  private readonly gasWiring: Wiring;
  private readonly traits: EngineTraits['probes'];

  constructor(traits: EngineTraits, roomC: number, random: Random) {
    this.traits = traits.probes;
    this.padC = this.beadC = this.wellElementC = this.sheathC = roomC;
    this.ringC = this.wellC = this.gasC = roomC;
    this.elbowWiring = new Wiring(this.traits.elbowWiring, random);
    this.gasWiring = new Wiring(this.traits.gasWiring, random);
  }

  /** `gasPart`: flow of gas, of rated. */
  step(dtS: number, elbow: Elbow, gasPart: number, roomC: number, charge: number, fallen: boolean): void {
    const { ring, well, gas } = this.traits;
    const onC = elbow.bodyC + ring.up * (elbow.shoulderC - elbow.bodyC);
    // Off the metal an element hangs in the air of the room, where it is slower.
    const padEndC = fallen ? roomC : onC + ring.airLeak * (roomC - onC);
    this.padC = relax(this.padC, padEndC, dtS, fallen ? 25 : ring.padS);
    this.beadC = relax(this.beadC, this.padC, dtS, fallen ? 40 : ring.tauS);
    const runs = gasPart > 0.01;
    const wet = runs ? well.wet * elbow.wetPart : 0.5;
    const streamC = wet * elbow.waterOutC + (1 - wet) * elbow.gasOutC;
    const stem = runs ? well.stem : 0.5 + 0.5 * well.stem;
    const wellEndC = fallen ? roomC : streamC + stem * (elbow.bodyC - streamC);
    const dryTimes = runs ? 1 + (well.dryTimes - 1) * (1 - elbow.wetPart) : 2 * well.dryTimes;
    this.wellElementC = relax(this.wellElementC, wellEndC, dtS, fallen ? 60 : well.wetS * dryTimes);
    // A sheath across a flow: its lag goes by the root of it.
    const gasEndC = elbow.gasInC + gas.metalLeak * (elbow.riserC - elbow.gasInC);
    this.sheathC = relax(this.sheathC, gasEndC, dtS, gas.tauS / Math.sqrt(Math.max(0.02, gasPart)));
    const elbowK = this.elbowWiring.step(dtS, charge);
    [this.ringC, this.wellC] = [this.beadC + elbowK, this.wellElementC + elbowK];
    this.gasC = this.sheathC + this.gasWiring.step(dtS, charge);
  }
}
