import type { Diesel } from './diesel.js';
import { toward } from './lump.js';
import type { EngineTraits } from './traits.js';
import type { WetExhaust } from './wet-exhaust.js';

/** Time constant of a probe that hangs in still air, s. */
const inAirS = 70;

/** The sensing elements of one engine, each with its place, lag and leak of heat. */
export class Probes {
  ringC: number;
  wellC: number;
  gasC: number;
  private readonly traits: EngineTraits;

  constructor(traits: EngineTraits, roomC: number) {
    this.traits = traits;
    this.ringC = this.wellC = this.gasC = roomC;
  }

  step(dtS: number, engine: Diesel, exhaust: WetExhaust, roomC: number, fallen: boolean): void {
    const { airKgPerS, probes } = this.traits;
    const flow = engine.gasKgPerS / airKgPerS;
    if (fallen) {
      this.ringC = toward(this.ringC, roomC, dtS, inAirS);
      this.wellC = toward(this.wellC, roomC, dtS, inAirS);
    } else {
      const under = exhaust.elbowC + probes.ringTowardRiser * (exhaust.riserC - exhaust.elbowC);
      this.ringC = toward(this.ringC, under - probes.ringLeak * (under - roomC), dtS, probes.ringS);
      const dry = 1 - exhaust.covered;
      const inside =
        exhaust.mixtureC +
        probes.wellDry * dry * Math.max(0, exhaust.gasC - exhaust.mixtureC) * Math.min(1, 5 * flow);
      const tip = inside + probes.wellStem * (exhaust.elbowC - inside);
      this.wellC = toward(this.wellC, tip, dtS, probes.wellS * (1 + 6 * dry));
    }
    const gas = flow > 1e-3 ? (probes.gasBeforeTurbo ? engine.manifoldC : engine.tailC) : exhaust.riserC;
    const lagS = probes.gasS / Math.max(Math.sqrt(flow), 0.12);
    this.gasC = toward(this.gasC, gas - probes.gasStem * (gas - exhaust.riserC), dtS, lagS);
  }
}
