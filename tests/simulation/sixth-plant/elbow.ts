import { gasJPerKgK } from './engine.js';
import { relax } from './relax.js';
import { saturate, saturatedKgPerKg, vapourJPerKg, waterJPerKgK } from './saturation.js';
import type { EngineTraits } from './traits.js';

/** Still air and radiation on warm metal, W/(m2 K), from memory; water that runs over it, at rated flow. */
const airWPerM2K = 11;
const filmWPerM2K = 1500;

/** Areas, masses and conductances of riser, shoulder (where the water comes in) and body, from the gas at rated power. */
function size({ elbow: e }: EngineTraits, gasKgPerS: number) {
  // Gas of 420 C is 0.51 kg/m3.
  const diameterM = Math.sqrt((4 * gasKgPerS) / (Math.PI * 0.51 * e.gasMPerS));
  const girthM = Math.PI * diameterM;
  const wallM = (e.castMm * e.wallTimes) / 1000;
  const layers = e.isJacketed ? 2 : 1;
  const jPerM2K = wallM * e.kgPerM3 * e.jPerKgK;
  const [riserM2, shoulderM2, bodyM2] = [
    girthM * e.riserDiameters * diameterM,
    girthM * 0.25 * e.lengthDiameters * diameterM,
    girthM * 0.75 * e.lengthDiameters * diameterM,
  ];
  const sectionM2 = girthM * wallM * layers;
  // Dittus and Boelter, more for bends and pulses; gas of 420 C: 33e-6 Pa s, 0.051 W/(m K), Prandtl 0.7 (from memory).
  const reynolds = (4 * gasKgPerS) / (girthM * 33e-6);
  const gasWPerM2K = (e.bend * 0.023 * reynolds ** 0.8 * 0.7 ** 0.4 * 0.051) / diameterM;
  return {
    riserM2,
    shoulderM2,
    bodyM2,
    gasWPerM2K,
    // Flanges weigh as much again as the short pipe between them.
    riserJPerK: 1.3 * riserM2 * jPerM2K,
    shoulderJPerK: 2 * layers * shoulderM2 * jPerM2K,
    bodyJPerK: layers * bodyM2 * jPerM2K,
    toManifoldWPerK: (e.wPerMK * sectionM2) / ((0.6 * e.riserDiameters + 0.5) * diameterM),
    // A gasket joint halves what the metal would carry.
    upWPerK: (0.5 * e.wPerMK * sectionM2) / ((0.5 * e.riserDiameters + 0.2 * e.lengthDiameters) * diameterM),
    downWPerK: (e.wPerMK * sectionM2) / (0.4 * e.lengthDiameters * diameterM),
  };
}

/** Hot gas meets cold water: riser, shoulder, wet body, and the wall of the hose behind. */
export class Elbow {
  riserC: number;
  shoulderC: number;
  bodyC: number;
  hoseC: number;
  /** Gas before the water, and gas and water behind it, C. */
  gasInC: number;
  gasOutC: number;
  waterOutC: number;
  /** How much of what could be wet is wet, 0 to 1. */
  wetPart = 0;
  toRoomW = 0;
  /** Water that clings inside the body, kg. */
  private filmKg = 0;
  readonly size: ReturnType<typeof size>;
  private readonly ratedGasKgPerS: number;
  private readonly ratedWaterKgPerS: number;
  private readonly traits: EngineTraits;

  constructor(traits: EngineTraits, gasKgPerS: number, waterKgPerS: number, roomC: number) {
    this.traits = traits;
    this.ratedGasKgPerS = gasKgPerS;
    this.ratedWaterKgPerS = waterKgPerS;
    this.size = size(traits, gasKgPerS);
    this.riserC =
      this.shoulderC =
      this.bodyC =
      this.hoseC =
      this.gasInC =
      this.gasOutC =
      this.waterOutC =
        roomC;
  }

  step(
    dtS: number,
    gas: { kgPerS: number; temperatureC: number; fuelKgPerS: number },
    water: { kgPerS: number; temperatureC: number },
    { coolantC, roomC }: { coolantC: number; roomC: number },
  ): void {
    const { size: s, traits } = this;
    const e = traits.elbow;
    const flow = gas.kgPerS / this.ratedGasKgPerS;
    const gasWPerK = gas.kgPerS * gasJPerKgK;
    // Without flow warm gas still rises from the manifold: 4 W/(m2 K).
    const gasWPerM2K = 4 + s.gasWPerM2K * flow ** 0.8;
    /** What gas of this temperature gives to a wall, W, which no longer wall can take more of. */
    const give = (gasC: number, wallC: number, areaM2: number) =>
      gasWPerK > 0 ? gasWPerK * (gasC - wallC) * (1 - Math.exp((-gasWPerM2K * areaM2) / gasWPerK)) : 0;

    const lagging = e.riserLagged ? 0.25 : 1;
    const riserAirWPerK =
      lagging * (airWPerM2K + 2.3e-7 * Math.max(0, this.riserC) ** 2 * 0.8) * 1.4 * s.riserM2;
    const inRiserW = give(gas.temperatureC, this.riserC, s.riserM2);
    const riserToRoomW = riserAirWPerK * (this.riserC - roomC);
    const downW = s.upWPerK * (this.riserC - this.shoulderC);
    const fromManifoldW = s.toManifoldWPerK * (coolantC - this.riserC);
    this.riserC += (dtS * (inRiserW + fromManifoldW - riserToRoomW - downW)) / s.riserJPerK;
    this.gasInC = gasWPerK > 0 ? gas.temperatureC - inRiserW / gasWPerK : this.riserC;

    // Jets need their flow: a trickle runs down one side and leaves the gas dry.
    const ratio = gas.kgPerS > 0 ? water.kgPerS / gas.kgPerS : water.kgPerS > 0 ? 9 : 0;
    this.wetPart = relax(this.wetPart, 1 - Math.exp(-ratio / 1.6), dtS, 0.8);
    const washed = filmWPerM2K * Math.sqrt(Math.min(1.5, water.kgPerS / this.ratedWaterKgPerS));
    // Leidenfrost: a film is thrown off iron of 180 to 260 C (from memory).
    const clings = (wallC: number) => 1 - 0.85 * Math.min(1, Math.max(0, (wallC - 180) / 80));

    const coverWPerK = e.jacketCover * this.wetPart * washed * clings(this.shoulderC) * s.shoulderM2;
    const inShoulderW = give(this.gasInC, this.shoulderC, s.shoulderM2);
    const overW = s.downWPerK * (this.shoulderC - this.bodyC);
    const airShoulderWPerK = airWPerM2K * 1.4 * s.shoulderM2;
    const shoulder = settle(this.shoulderC, dtS, s.shoulderJPerK, inShoulderW + downW - overW, [
      [coverWPerK, water.temperatureC],
      [airShoulderWPerK, roomC],
    ]);
    const shoulderWaterW = coverWPerK * (shoulder - water.temperatureC);
    const meetsC = gasWPerK > 0 ? this.gasInC - inShoulderW / gasWPerK : this.shoulderC;

    const wet = e.wet * this.wetPart;
    const bodyWetWPerK = wet * washed * clings(this.bodyC) * s.bodyM2;
    this.mix(gas, meetsC, water, shoulderWaterW + bodyWetWPerK * (this.bodyC - this.waterOutC), dtS);
    const inBodyW = (1 - 0.7 * wet) * give(0.5 * (meetsC + this.gasOutC), this.bodyC, s.bodyM2);
    const driesW = this.dry(dtS, water.kgPerS, wet, gasWPerM2K);
    const airBodyWPerK = airWPerM2K * 1.2 * s.bodyM2;
    const body = settle(this.bodyC, dtS, s.bodyJPerK, inBodyW + overW - driesW, [
      [bodyWetWPerK, this.waterOutC],
      [airBodyWPerK, roomC],
    ]);
    if (gasWPerK > 0) this.gasOutC -= inBodyW / gasWPerK;
    this.toRoomW = riserToRoomW + airShoulderWPerK * (shoulder - roomC) + airBodyWPerK * (body - roomC);
    [this.shoulderC, this.bodyC] = [shoulder, body];
    const inHoseC = wet * this.waterOutC + (1 - wet) * this.gasOutC;
    // A dry hose loses a tenth of what it is above the room; without flow it cools as thick rubber does.
    const hose = gas.kgPerS > 0 ? inHoseC - (1 - wet) * 0.1 * (inHoseC - roomC) : 0.5 * (body + roomC);
    this.hoseC = relax(this.hoseC, hose, dtS, gas.kgPerS > 0 ? e.hoseS : 900);
  }

  /**
   * Heat that the last film takes as it dries, W: a third of a millimetre with what lies in pockets, gone by the difference of vapour between the
   * metal and the hose (Lewis's relation between heat and mass transfer; film and shelter from memory).
   */
  private dry(dtS: number, waterKgPerS: number, wet: number, gasWPerM2K: number): number {
    const { bodyM2, bodyJPerK } = this.size;
    const fed = Math.min(1, (20 * waterKgPerS) / this.ratedWaterKgPerS);
    this.filmKg = Math.max(this.filmKg, 0.3 * bodyM2 * wet * fed);
    const above = saturatedKgPerKg(Math.min(97, this.bodyC)) - saturatedKgPerKg(Math.min(60, this.hoseC));
    const takesW = (1 - fed) * 0.4 * gasWPerM2K * bodyM2 * Math.max(0, above) * (vapourJPerKg / gasJPerKgK);
    const mostW = (Math.max(0, this.bodyC - this.hoseC) * 0.2 * bodyJPerK) / dtS;
    const driesW = Math.min(takesW, mostW, (this.filmKg * vapourJPerKg) / dtS);
    this.filmKg -= (driesW * dtS) / vapourJPerKg;
    return driesW;
  }

  /** Part of the gas comes to terms with all the water, the rest goes by between the drops. */
  private mix(
    gas: { kgPerS: number; fuelKgPerS: number },
    gasC: number,
    water: { kgPerS: number; temperatureC: number },
    wallsW: number,
    dtS: number,
  ): void {
    if (water.kgPerS <= 0 || gas.kgPerS <= 0) {
      // Only one of them, or none: what lies in the elbow takes on the temperature of the metal.
      this.gasOutC = gas.kgPerS > 0 ? gasC : relax(this.gasOutC, this.bodyC, dtS, 20);
      const end = water.kgPerS > 0 ? water.temperatureC : gas.kgPerS > 0 ? gasC : this.bodyC;
      this.waterOutC = relax(this.waterOutC, end, dtS, water.kgPerS > 0 ? 1 : 15);
      return;
    }
    const contact = this.traits.elbow.contact * this.wetPart;
    // Each kilogram of fuel burns to about 1.15 of vapour.
    const vapourKgPerKg = (1.15 * gas.fuelKgPerS) / gas.kgPerS;
    const warmC = water.temperatureC + wallsW / (water.kgPerS * waterJPerKgK);
    // What the walls give a trickle makes steam; it does not make water of more than 100 C.
    const fed = { kgPerS: water.kgPerS, temperatureC: Math.min(100, Math.max(0, warmC)) };
    this.waterOutC = saturate(
      { kgPerS: Math.max(1e-6, contact * gas.kgPerS), temperatureC: gasC, vapourKgPerKg },
      fed,
    );
    this.gasOutC = contact * this.waterOutC + (1 - contact) * gasC;
  }
}

/** One mass with heat put in and some conductances to places, solved for the end of the step. */
function settle(
  nowC: number,
  dtS: number,
  jPerK: number,
  inW: number,
  to: readonly [number, number][],
): number {
  const wPerK = to.reduce((sum, [one]) => sum + one, 0);
  if (wPerK < 1e-9) return nowC + (inW * dtS) / jPerK;
  const pullW = to.reduce((sum, [one, placeC]) => sum + one * placeC, 0);
  return relax(nowC, (inW + pullW) / wPerK, dtS, jPerK / wPerK);
}
