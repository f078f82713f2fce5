import { evaporation100JPerKg, exhaustJPerKgK, lagged, seaWaterJPerKgK, steamJPerKgK } from './heat.js';
import { quenchedC } from './humid-gas.js';
import type { ElbowTraits } from './traits.js';

/** Turbulent gas in a bent tube at rated flow: Dittus-Boelter, half more for the bend, W/(m2 K); and in still gas. */
const gasFilmWPerM2K = 136;
const stillGasWPerM2K = 4;
/** Natural convection of water in a standing jacket, W/(m2 K). */
const stillWaterWPerM2K = 250;
/** Natural convection and radiation from warm metal to the engine room, W/(m2 K). */
const roomFilmWPerM2K = 12;
/** The same from the hot flange, whose outside with its bolts and ribs is twice its inside. */
const hotFilmWPerM2K = 45;
/** The jacket runs full from this part of the rated flow upwards; below it water dribbles from the lowest holes. */
const fillsAtPart = 0.12;
const boilsC = 101;
/** Between skin and what little is left in an empty jacket, W/K. */
const dampWPerK = 0.1;
const leastJacketKg = 0.01;
/** A wet hose wall, a dry one at rated gas flow, and the rest of the rubber to the room, W/(m2 K). */
const hoseWetWPerM2K = 350;
/** Damp air in a hose that nothing flows through, W/(m2 K). */
const dampWPerM2K = 2;
const hoseGasWPerM2K = 45;
const hoseRoomWPerM2K = 3;
/** Water and gas that no longer flow drift towards the metal around them, s. */
const stillS = 60;

/** The exhaust elbow: dry flange, outer skin, jacket water that can boil, spray into the gas, and the hose behind it. */
export class Elbow {
  skinC: number;
  dryC: number;
  hoseC: number;
  /** Gas and spray where they have met; and gas that no spray has reached. */
  mixedC: number;
  streakC: number;
  /** Part of the gas that the spray reaches. */
  met = 1;
  private jacketC: number;
  private jacketKg: number;
  private readonly traits: ElbowTraits;
  private readonly keptKg: number;
  private readonly weirPerS: number;

  constructor(traits: ElbowTraits, startC: number) {
    this.traits = traits;
    this.skinC = startC;
    this.dryC = startC;
    this.hoseC = startC;
    this.mixedC = startC;
    this.streakC = startC;
    this.jacketC = startC;
    this.keptKg = Math.max(leastJacketKg, traits.jacketKg * traits.jacketKept);
    this.jacketKg = this.keptKg;
    this.weirPerS = (fillsAtPart * traits.ratedWaterKgPerS) / (traits.jacketKg - this.keptKg);
  }

  step(
    dtS: number,
    waterKgPerS: number,
    waterC: number,
    gasKgPerS: number,
    gasC: number,
    gasHumidity: number,
    blockC: number,
    roomC: number,
  ): void {
    const { traits } = this;
    const gasPart = gasKgPerS / traits.ratedGasKgPerS;
    const gasStir = gasPart > 0 ? gasPart ** 0.8 : 0;
    const gasFilm = stillGasWPerM2K + gasFilmWPerM2K * gasStir;
    const full = Math.min(1, this.jacketKg / traits.jacketKg);
    const waterPart = waterKgPerS / traits.ratedWaterKgPerS;
    const waterFilm =
      full * (stillWaterWPerM2K + (waterPart > 0 ? traits.filmWPerM2K * waterPart ** 0.6 : 0));
    const gasToJacket = gasFilm * traits.wetAreaM2 * full;
    const skinGas = traits.skinGasWet * full + traits.skinGasDry * (1 - full);
    const gasToSkin = gasFilm * traits.wetAreaM2 * skinGas;
    const jacketToSkin = dampWPerK + waterFilm * traits.wetAreaM2;
    const gasToDry = gasFilm * traits.dryAreaM2;
    this.heatMetal(dtS, gasC, gasToDry, gasToSkin, jacketToSkin, blockC, roomC);
    const sprayKgPerS = this.runJacket(dtS, waterKgPerS, waterC, gasC, gasToJacket, jacketToSkin);
    this.quench(dtS, sprayKgPerS, gasKgPerS, gasC, gasHumidity, gasToJacket + gasToSkin + gasToDry);
    this.warmHose(dtS, waterPart, gasStir, roomC);
  }

  roomHeatW(roomC: number): number {
    return roomFilmWPerM2K * this.traits.outsideAreaM2 * (this.skinC - roomC);
  }

  private heatMetal(
    dtS: number,
    gasC: number,
    gasToDry: number,
    gasToSkin: number,
    jacketToSkin: number,
    blockC: number,
    roomC: number,
  ): void {
    const { conductionWPerK, blockWPerK, dryJPerK, skinJPerK, dryAreaM2, outsideAreaM2, lagging } =
      this.traits;
    const dryToRoom = hotFilmWPerM2K * dryAreaM2 * lagging;
    const dryRate = dtS / dryJPerK;
    const dryDrive = gasToDry * gasC + conductionWPerK * this.skinC + blockWPerK * blockC + dryToRoom * roomC;
    this.dryC =
      (this.dryC + dryRate * dryDrive) /
      (1 + dryRate * (gasToDry + conductionWPerK + blockWPerK + dryToRoom));
    const skinToRoom = roomFilmWPerM2K * outsideAreaM2;
    const skinRate = dtS / skinJPerK;
    const drive =
      gasToSkin * gasC + jacketToSkin * this.jacketC + conductionWPerK * this.dryC + skinToRoom * roomC;
    this.skinC =
      (this.skinC + skinRate * drive) /
      (1 + skinRate * (gasToSkin + jacketToSkin + conductionWPerK + skinToRoom));
  }

  /** Fills, drains and boils the jacket; gives the liquid that leaves it into the gas, kg/s. */
  private runJacket(
    dtS: number,
    waterKgPerS: number,
    waterC: number,
    gasC: number,
    gasToJacket: number,
    jacketToSkin: number,
  ): number {
    const { jacketKg: capacityKg } = this.traits;
    const kg = Math.max(leastJacketKg, this.jacketKg);
    const rate = dtS / (kg * seaWaterJPerKgK);
    const flowWPerK = waterKgPerS * seaWaterJPerKgK;
    const drive = flowWPerK * waterC + gasToJacket * gasC + jacketToSkin * this.skinC;
    const implicit = 1 + rate * (flowWPerK + gasToJacket + jacketToSkin);
    this.jacketC = (this.jacketC + rate * drive) / implicit;
    let boiledKg = 0;
    if (this.jacketC > boilsC) {
      boiledKg = Math.min(
        this.jacketKg,
        ((this.jacketC - boilsC) * kg * seaWaterJPerKgK * implicit) / evaporation100JPerKg,
      );
      this.jacketC = boilsC;
    }
    const weirRate = dtS * this.weirPerS;
    const filledKg = Math.max(0, this.jacketKg + waterKgPerS * dtS - boiledKg);
    let leftKg = filledKg;
    if (filledKg > this.keptKg) leftKg = this.keptKg + (filledKg - this.keptKg) / (1 + weirRate);
    if (leftKg > capacityKg) leftKg = capacityKg;
    this.jacketKg = leftKg;
    return (filledKg - leftKg) / dtS;
  }

  private quench(
    dtS: number,
    sprayKgPerS: number,
    gasKgPerS: number,
    gasC: number,
    gasHumidity: number,
    lostWPerK: number,
  ): void {
    if (gasKgPerS <= 0) {
      this.mixedC = lagged(this.mixedC, this.jacketC, dtS, stillS);
      this.streakC = lagged(this.streakC, this.skinC, dtS, stillS);
      return;
    }
    const { sprayRatio } = this.traits;
    // What the gas gives to metal and jacket on its way cools it: one transfer unit count of the whole elbow.
    const gasWPerK = gasKgPerS * exhaustJPerKgK;
    const wallC = (this.skinC + this.jacketC) / 2;
    let streakC = wallC + ((gasC - wallC) * gasWPerK) / (gasWPerK + lostWPerK);
    const ratio = sprayKgPerS / gasKgPerS;
    this.met = 1 - Math.exp(-ratio / sprayRatio);
    if (this.met > 1e-3) {
      this.mixedC = quenchedC(
        gasKgPerS * this.met,
        streakC,
        gasHumidity,
        sprayKgPerS,
        this.jacketC,
        this.mixedC,
      );
    } else this.mixedC = streakC;
    if (this.jacketC >= boilsC - 1e-6 && sprayKgPerS < gasKgPerS * 0.05) {
      // Steam from a boiling jacket thins the gas.
      const steamKgPerS = (lostWPerK * 0.5 * (gasC - boilsC)) / evaporation100JPerKg;
      const steamWPerK = Math.max(0, steamKgPerS) * steamJPerKgK * (this.jacketKg > leastJacketKg ? 1 : 0);
      streakC = (gasWPerK * streakC + steamWPerK * boilsC) / (gasWPerK + steamWPerK);
    }
    this.streakC = lagged(this.streakC, streakC, dtS, 0.3);
  }

  /** The crown of the hose: where streaks of dry gas go. */
  private warmHose(dtS: number, waterPart: number, gasStir: number, roomC: number): void {
    const wetFilm = dampWPerM2K + hoseWetWPerM2K * this.met * Math.min(1, 4 * waterPart);
    const dryFilm = (stillGasWPerM2K + hoseGasWPerM2K * gasStir) * (1 - this.met);
    const rate = dtS / this.traits.hoseJPerM2K;
    this.hoseC =
      (this.hoseC + rate * (wetFilm * this.mixedC + dryFilm * this.streakC + hoseRoomWPerM2K * roomC)) /
      (1 + rate * (wetFilm + dryFilm + hoseRoomWPerM2K));
  }
}
