import type { Structure } from './structure.js';
import type { Traits } from './traits.js';

/** Inner wall of the whole elbow, m2, for 200 kW; grows with the power. */
const elbowAreaM2 = 0.088;
/** Heat capacity of metal, kJ/(m3 K); of rubber hose, kJ/(m2 K). Handbook values, rounded. */
const metalKjPerM3K = 3600;
const hoseKjPerM2K = 8;
const gasCp = 1.1;
const waterCp = 3.99;
/** Heat of evaporation at 100 C, kJ/kg, and the boiling point; steam tables. */
const evaporationKjPerKg = 2257;
const boilingC = 100;

export type Stream = {
  readonly gasKgPerS: number;
  readonly gasC: number;
  readonly waterKgPerS: number;
  readonly waterC: number;
};

/**
 * The wet elbow as a row of nodes along the stream. In each, gas heats spray, some of it evaporates, what is left boils
 * when it reaches 100 C, and film, bare gas and steam heat the wall. Heat also creeps along the wall and in from the flange.
 */
export class ElbowRow {
  readonly wallC: number[];
  readonly waterC: number[];
  readonly gasC: number[];
  readonly wetted: number[];
  hoseC: number;
  private readonly traits: Traits;
  private readonly structure: Structure;
  /** Of one node. */
  private readonly areaM2: number;
  private readonly alongWPerK: number;

  constructor(traits: Traits, structure: Structure, { seaC, roomC }: { seaC: number; roomC: number }) {
    const { nodes } = structure;
    this.traits = traits;
    this.structure = structure;
    this.areaM2 = (elbowAreaM2 / nodes) * Math.sqrt(traits.ratedKw / 200);
    // The traits say what lies between two of four nodes; shorter nodes conduct better.
    this.alongWPerK = (traits.alongWPerK * nodes) / 4;
    this.wallC = new Array<number>(nodes).fill(roomC);
    this.waterC = new Array<number>(nodes).fill(seaC);
    this.gasC = new Array<number>(nodes).fill(roomC);
    this.wetted = new Array<number>(nodes).fill(0);
    this.hoseC = roomC;
  }

  step(dtS: number, stream: Stream, flangeC: number, roomC: number): void {
    const { alongWPerK } = this;
    const { nodes, filmBoilsC, boilingFilm } = this.structure;
    const { wallMm, flangeWPerK, ratedKw } = this.traits;
    const capacity = (this.areaM2 * wallMm * metalKjPerM3K) / 1000;
    const ratedGas = 0.0016 * ratedKw;
    const gasFilm = 0.11 * (stream.gasKgPerS / ratedGas) ** 0.8;
    let { gasC, waterC, waterKgPerS } = stream;
    let steam = 0;
    const before = this.wallC.slice();
    for (let i = 0; i < nodes; i++) {
      const here = this.meet({ gasKgPerS: stream.gasKgPerS, gasC, waterKgPerS, waterC });
      gasC = here.gasC;
      waterC = here.waterC;
      steam += here.steamKgPerS;
      waterKgPerS = Math.max(0, waterKgPerS - here.steamKgPerS);
      const covered = 1 - Math.exp(-waterKgPerS / (0.9 * ratedGas));
      this.wetted[i] = (this.wetted[i] as number) + (covered - (this.wetted[i] as number)) * (dtS / 2.5);
      this.gasC[i] = gasC;
      this.waterC[i] = waterC;
      const wet = this.wetted[i] as number;
      const wallC = before[i] as number;
      const grip = wallC > filmBoilsC ? boilingFilm : 1;
      const film =
        waterKgPerS > 1e-4
          ? 1.1 * grip * this.areaM2 * wet * (0.3 + 0.7 * (waterKgPerS / (10 * ratedGas)) ** 0.5)
          : 0;
      const bare = gasFilm * this.areaM2 * (1 - wet);
      const condensing = wallC < boilingC ? 0.25 * this.areaM2 * Math.min(1, steam / (0.05 * ratedGas)) : 0;
      const along =
        (alongWPerK / 1000) * ((before[i - 1] ?? wallC) - wallC + ((before[i + 1] ?? wallC) - wallC)) +
        (i === 0 ? (flangeWPerK / 1000) * (flangeC - wallC) : 0);
      const kw =
        film * (waterC - wallC) +
        bare * (gasC - wallC) +
        condensing * (boilingC - wallC) +
        along -
        0.014 * this.areaM2 * (wallC - roomC);
      this.wallC[i] = wallC + (kw * dtS) / capacity;
    }
    const wet = this.wetted[this.wetted.length - 1] as number;
    const hoseKw =
      (waterKgPerS > 1e-4 ? 0.9 * wet : 0) * (waterC - this.hoseC) +
      gasFilm * (1 - wet) * (gasC - this.hoseC) -
      0.008 * (this.hoseC - roomC);
    this.hoseC += (hoseKw * dtS) / hoseKjPerM2K;
  }

  /** Gas and spray in one node: what the gas gives, warms the water, evaporates some, and boils the rest at 100 C. */
  private meet({ gasKgPerS, gasC, waterKgPerS, waterC }: Stream): {
    gasC: number;
    waterC: number;
    steamKgPerS: number;
  } {
    if (gasKgPerS < 1e-4) return { gasC: waterKgPerS > 1e-4 ? waterC : gasC, waterC, steamKgPerS: 0 };
    if (waterKgPerS < 1e-4) return { gasC, waterC, steamKgPerS: 0 };
    const gasKwPerK = gasKgPerS * gasCp;
    const waterKwPerK = waterKgPerS * waterCp;
    const { sprayGrip, sprayPower } = this.structure;
    const effectiveness = 1 - Math.exp(-sprayGrip * (waterKgPerS / gasKgPerS) ** sprayPower);
    const givenKw = effectiveness * gasKwPerK * (gasC - waterC);
    const evaporating = Math.min(0.85, this.structure.evaporating(waterC));
    const warmedC = waterC + (givenKw * (1 - evaporating)) / waterKwPerK;
    const boiledKw = Math.max(0, warmedC - boilingC) * waterKwPerK;
    const steamKgPerS = Math.min(waterKgPerS, (boiledKw + givenKw * evaporating) / evaporationKjPerKg);
    return { gasC: gasC - givenKw / gasKwPerK, waterC: Math.min(boilingC, warmedC), steamKgPerS };
  }
}
