import type { Random } from '../../../node/bench/plant/random.js';
import { clamp, relax, wander } from './relax.js';
import type { BoatTraits } from './traits.js';

/** What the sea does to one side of the boat at this moment. */
export type Seaway = {
  /** Times the propeller's torque in flat water. */
  readonly load: number;
  /** Whether weed came to this engine's strainer in this step. */
  readonly weed: boolean;
};

/** Fronts, tide, waves, gusts and weed outside; the air of the engine room inside. */
export class SeaAndRoom {
  /** How far the water at the seacock is from the day's, K. */
  apartK = 0;
  roomC: number;
  private frontK = 0;
  private aimK = 0;
  private gust = 0;
  private atS: number;
  private readonly outsideC: number;
  private readonly traits: BoatTraits;
  private readonly random: Random;

  constructor(traits: BoatTraits, outsideC: number, random: Random) {
    this.traits = traits;
    this.random = random;
    this.outsideC = this.roomC = outsideC;
    this.atS = random.between(0, 10_000);
  }

  /** Water is 1 to 32 C wherever boats go, whatever front comes to a cold or a warm day. */
  waterC = (dayC: number): number => clamp(dayC + this.apartK, Math.min(1, dayC), Math.max(32, dayC));

  /** `roughness` 0 is flat water, 1 a swell that throws the boat about. Twins roll: what one side has, the other lacks. */
  seaway(dtS: number, roughness: number, side: 1 | -1): Seaway {
    const { sea } = this.traits;
    const phase = (2 * Math.PI * this.atS) / sea.waveS;
    const wave = Math.sin(phase) + 0.4 * Math.sin(1.37 * phase + 1) + 0.5 * side * Math.sin(0.61 * phase + 2);
    const load = 1 + (0.1 + 0.9 * roughness) * sea.waveLoad * wave + sea.gustLoad * this.gust;
    return { load: Math.max(0.2, load), weed: this.random.chance((sea.weedPerHour * dtS) / 3600) };
  }

  /** `heatW` from both engines to the air, which they breathe and the hull lets through. */
  step(dtS: number, heatW: number, airKgPerS: number): void {
    const { sea, room } = this.traits;
    const { random } = this;
    this.atS += dtS;
    this.gust = wander(this.gust, dtS, sea.gustS, random.normal());
    if (random.chance((sea.frontsPerHour * dtS) / 3600)) this.aimK = sea.frontK * random.between(-1, 1);
    this.frontK = relax(this.frontK, this.aimK, dtS, sea.frontS);
    this.apartK = this.frontK + sea.tideK * Math.sin((2 * Math.PI * this.atS) / 22_350);
    const lossWPerK = room.ventWPerK + airKgPerS * 1005;
    this.roomC = relax(this.roomC, this.outsideC + heatW / lossWPerK, dtS, room.heatJPerK / lossWPerK);
  }
}
