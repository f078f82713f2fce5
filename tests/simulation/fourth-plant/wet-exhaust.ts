import {
  alongWallKwPerK,
  evaporationKjPerKg,
  gasCp,
  gasFilmKwPerM2K,
  mixed,
  type Streams,
  seaCp,
} from './laws.js';
import type { Traits } from './traits.js';

const { exp, max, min, PI } = Math;
/** Hot metal to still air with radiation, kW/(m2 K), on an outside 1.8 times the inside; hose and metal, handbooks, rounded. */
const outsideKwPerM2K = 0.015 * 1.8;
const hoseKjPerM2K = 8;
const metalKjPerM3K = 3600;
/** Lift box to room, from memory. */
const boxKwPerK = 0.002;

/** Wet elbow, hose and lift box: gas and spray approach each other over a mixing length and heat the walls on their way. */
export class WetExhaust {
  readonly areaM2: number;
  readonly elbowKjPerK: number;
  readonly hoseKjPerK: number;
  elbowC: number;
  hoseC: number;
  /** Where gas and water have mixed; water in the lift box. */
  mixC: number;
  boxC: number;
  boxKg: number;
  vapourKgPerS = 0;
  wetted = 0;
  private wallsKw = 0;
  private streamKwPerK = 0;
  private readonly traits: Traits;

  constructor(traits: Traits, { seaC, roomC }: { readonly seaC: number; readonly roomC: number }) {
    this.traits = traits;
    this.areaM2 = PI * traits.elbowBores * traits.boreM ** 2;
    this.elbowKjPerK = 1e-3 * traits.elbowMm * this.areaM2 * metalKjPerM3K;
    this.hoseKjPerK = hoseKjPerM2K * this.areaM2;
    this.elbowC = this.hoseC = roomC;
    this.mixC = this.boxC = seaC;
    this.boxKg = traits.boxKg;
  }

  /** Gives what goes to the room, kW. */
  step(dtS: number, streams: Streams, riserC: number, roomC: number): number {
    const { areaM2, traits: t } = this;
    const gas = streams.gasKgPerS * gasCp;
    const water = streams.waterKgPerS * seaCp;
    // The walls' share is that of the step before, for as much stream as there is now.
    const lostKw = this.streamKwPerK > 0 ? this.wallsKw * min(1, (gas + water) / this.streamKwPerK) : 0;
    this.streamKwPerK = gas + water;
    const { mixC, vapourKgPerS } = mixed(streams, lostKw, t.saturates);
    if (gas + water > 1e-5) this.mixC = mixC;
    this.vapourKgPerS = vapourKgPerS;
    const covered = t.reach * min(1, streams.waterKgPerS / (PI * t.boreM * t.wettingKgPerMS));
    this.wetted += (covered - this.wetted) * (dtS / t.filmTauS);
    const film = alongWallKwPerK(water, t.filmKwPerM2K * areaM2 * this.wetted);
    const bare = alongWallKwPerK(
      gas,
      gasFilmKwPerM2K(streams.gasKgPerS, t.boreM) * areaM2 * (1 - this.wetted),
    );
    const heated = (elbows: number, wallC: number) => {
      const { filmC, gasC } = this.along(elbows, streams);
      return film * (filmC - wallC) + bare * (gasC - wallC);
    };
    const elbowKw = heated(0.5, this.elbowC);
    const hoseKw = heated(1.5, this.hoseC);
    this.wallsKw = elbowKw + hoseKw;
    const jointKw = t.hoseJointKwPerK * (this.elbowC - this.hoseC);
    const splashKw = t.splashKwPerK * (this.hoseC - this.boxC);
    const elbowAirKw = outsideKwPerM2K * areaM2 * (this.elbowC - roomC);
    const hoseAirKw = 0.5 * outsideKwPerM2K * areaM2 * (this.hoseC - roomC);
    const boxAirKw = boxKwPerK * (this.boxC - roomC);
    const flangeKw = t.flangeKwPerK * (riserC - this.elbowC);
    this.elbowC += (dtS / this.elbowKjPerK) * (elbowKw + flangeKw - jointKw - elbowAirKw);
    this.hoseC += (dtS / this.hoseKjPerK) * (hoseKw + jointKw - splashKw - hoseAirKw);
    // Water is left in the box at a stop; without fresh water, hot gas boils it away to a puddle.
    const boxKj = dtS * ((gas + water) * (this.mixC - this.boxC) + splashKw - boxAirKw);
    const boiledKg = max(0, boxKj - (100 - this.boxC) * this.boxKg * seaCp) / evaporationKjPerKg;
    this.boxC = min(100, this.boxC + boxKj / (this.boxKg * seaCp));
    this.boxKg = min(t.boxKg, max(0.2, this.boxKg + dtS * streams.waterKgPerS - boiledKg));
    return elbowAirKw + hoseAirKw + boxAirKw;
  }

  /** Gas and film so many elbows behind the injection. The mixing length grows as the spray gets thinner. */
  along(elbows: number, { gasKgPerS, gasC, waterKgPerS, waterC }: Streams): { gasC: number; filmC: number } {
    const { elbowBores, boreM, mixingM } = this.traits;
    if (gasKgPerS < 1e-6) return { gasC: this.elbowC, filmC: waterC };
    const lengths = ((elbows * elbowBores * boreM) / mixingM) * (waterKgPerS / gasKgPerS / 10) ** 0.6;
    const apart = exp(-lengths);
    return {
      gasC: this.mixC + (gasC - this.mixC) * apart,
      filmC: waterC + (this.mixC - waterC) * (1 - apart),
    };
  }
}
