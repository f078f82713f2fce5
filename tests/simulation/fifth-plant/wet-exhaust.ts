import type { Diesel } from './diesel.js';
import { gasJPerKgK, lump, seaJPerKgK, steamJPerKg, toward } from './lump.js';
import { mixture } from './mixture.js';
import type { EngineTraits } from './traits.js';

/** Natural convection and radiation inside a hot pipe without flow, W/(m2 K). */
const stillWPerM2K = 14;
/** Three millimetres of rubber: what the inner face of the hose has to heat, J/(m2 K). */
const rubberJPerM2K = 5400;

/**
 * Dry riser, injected elbow and hose. The water is held up in the ring and as a film on the wall. Gas and water leave
 * as one mixture, as moist as its temperature allows; where the film is torn, gas heats the bare metal and the hose.
 */
export class WetExhaust {
  riserC: number;
  elbowC: number;
  hoseC: number;
  /** Gas in the riser, and the mixture behind the injection. */
  gasC: number;
  mixtureC: number;
  /** Part of the wall that the film covers. */
  covered = 0;
  /** Leaves overboard with gas, water and steam, counted from the air in the room and the sea, W. */
  overboardW = 0;
  private ringKg = 0;
  private filmKg = 0;
  private readonly traits: EngineTraits;

  constructor(traits: EngineTraits, roomC: number) {
    this.traits = traits;
    this.riserC = this.elbowC = this.hoseC = this.gasC = this.mixtureC = roomC;
  }

  private get toBlockWPerK(): number {
    return this.traits.manifoldJacketWPerK + this.traits.headWPerK;
  }

  /** Heat that a jacketed manifold, or the flange of a dry one, gives to the coolant, W. */
  jacketW(coolantC: number): number {
    return this.toBlockWPerK * (this.riserC - coolantC);
  }

  /** `outC`: the raw water that is injected. Gives the heat to the room, W. */
  step(
    dtS: number,
    engine: Diesel,
    kgPerS: number,
    outC: number,
    coolantC: number,
    around: { roomC: number; seaC: number },
  ): number {
    const { traits } = this;
    const { roomC, seaC } = around;
    const gasWPerK = engine.gasKgPerS * gasJPerKgK;
    const filmInKgPerS = this.passRing(dtS, kgPerS);
    const wPerM2K = Math.max(stillWPerM2K, traits.gasWPerM2K * (engine.gasKgPerS / traits.airKgPerS) ** 0.8);

    // Riser: the gas cools along it as in any pipe of one wall temperature.
    const riserWPerK = wPerM2K * traits.riserAreaM2;
    const passes = gasWPerK > 1e-3 ? Math.exp(-riserWPerK / gasWPerK) : 0;
    this.gasC =
      gasWPerK > 1e-3
        ? this.riserC + (engine.tailC - this.riserC) * passes
        : toward(this.gasC, this.riserC, dtS, 20);
    const toRiserWPerK = gasWPerK * (1 - passes);
    const lossWPerK = traits.riserLossWPerM2K * traits.riserAreaM2;
    const riserWasC = this.riserC;
    this.riserC = lump(riserWasC, traits.riserJPerK, dtS, [
      [toRiserWPerK, engine.tailC],
      [lossWPerK, roomC],
      [traits.flangeWPerK, this.elbowC],
      [this.toBlockWPerK, coolantC],
    ]);

    // Elbow: bare parts meet the gas, covered ones the film; above the Leidenfrost point the film floats on steam.
    const tooHot = this.elbowC > traits.leidenfrostC;
    this.covered =
      (1 - Math.exp((-this.filmKg / (traits.rawKgPerS * traits.filmS)) * -Math.log(1 - traits.covered))) *
      (tooHot ? 0.6 : 1);
    const boil = tooHot ? 0.5 : 1 + Math.min(5, Math.max(0, this.elbowC - 100) / 10);
    const wetWPerM2K = (350 + 900 * Math.sqrt(filmInKgPerS / traits.rawKgPerS)) * boil;
    const bareWPerK = wPerM2K * traits.areaM2 * (1 - this.covered);
    const wetWPerK = wetWPerM2K * traits.areaM2 * this.covered;
    const filmC = Math.min(100, outC + 0.35 * Math.max(0, this.mixtureC - outC));
    const bareGasC = gasWPerK > 1e-3 ? this.gasC : roomC + 0.5 * (this.riserC - roomC);
    const outerWPerK = (9 + 4 * ((this.elbowC + 273) / 373) ** 3) * traits.areaM2 * 1.2;
    const elbowWasC = this.elbowC;
    this.elbowC = lump(elbowWasC, traits.elbowJPerK, dtS, [
      [bareWPerK, bareGasC],
      [wetWPerK, filmC],
      [traits.flangeWPerK, riserWasC],
      [outerWPerK, roomC],
    ]);

    const fromGasW = gasWPerK > 1e-3 ? bareWPerK * (bareGasC - elbowWasC) : 0;
    const toFilmW = wetWPerK * (elbowWasC - filmC);
    if (gasWPerK > 1e-3) {
      const gas = { kgPerS: engine.gasKgPerS, atC: this.gasC };
      const { atC, steamW } = mixture(gas, { kgPerS: filmInKgPerS, atC: outC }, toFilmW - fromGasW);
      this.mixtureC = toward(this.mixtureC, atC, dtS, 0.8);
      this.overboardW = gasWPerK * (atC - roomC) + filmInKgPerS * seaJPerKgK * (atC - seaC) + steamW;
    } else {
      this.mixtureC = toward(this.mixtureC, this.filmKg > 1e-3 ? outC : this.elbowC, dtS, 25);
      this.overboardW = 0;
    }
    this.dryOut(
      dtS,
      filmInKgPerS,
      outC,
      Math.max(0, toFilmW) + gasWPerK * this.covered * 0.5 * Math.max(0, this.gasC - 100),
    );
    this.heatHose(dtS, wPerM2K, gasWPerK > 1e-3 ? Math.max(this.mixtureC, this.gasC) : this.mixtureC, roomC);
    return lossWPerK * (riserWasC - roomC) + outerWPerK * (elbowWasC - roomC);
  }

  /** Water into the ring or jacket before the spray holes, and out of it: kg/s on the wall. */
  private passRing(dtS: number, kgPerS: number): number {
    const before = this.ringKg;
    this.ringKg = toward(before, kgPerS * this.traits.jacketS, dtS, this.traits.jacketS);
    return Math.max(0, kgPerS - (this.ringKg - before) / dtS);
  }

  /** The film drains, and boils off when more heat comes than the fresh water can take. */
  private dryOut(dtS: number, inKgPerS: number, waterC: number, heatW: number): void {
    const { filmS, rawKgPerS } = this.traits;
    const boilingW = Math.max(0, heatW - inKgPerS * seaJPerKgK * (100 - waterC));
    const gone = Math.min(inKgPerS + this.filmKg / filmS, boilingW / steamJPerKg);
    this.filmKg = Math.min(
      rawKgPerS * filmS * 1.5,
      Math.max(0, toward(this.filmKg, (inKgPerS - gone) * filmS, dtS, filmS)),
    );
  }

  private heatHose(dtS: number, gasWPerM2K: number, gasC: number, roomC: number): void {
    this.hoseC = lump(this.hoseC, rubberJPerM2K, dtS, [
      [gasWPerM2K * (1 - this.covered), gasC],
      [700 * this.covered, this.mixtureC],
      [6, roomC],
      [4, this.elbowC],
    ]);
  }
}
