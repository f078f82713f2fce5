import { type Ailments, healthy } from '../../../node/bench/plant/ailments.js';
import type { Random } from '../../../node/bench/plant/random.js';
import { Cooling } from './cooling.js';
import { Demand } from './demand.js';
import { Elbow } from './elbow.js';
import { seaWaterKgPerLitre } from './heat.js';
import { Mover } from './mover.js';
import { Probes } from './probes.js';
import { RawWater } from './raw-water.js';
import { Season } from './season.js';
import type { Surroundings } from './surroundings.js';
import type { BoatTraits, EngineTraits } from './traits.js';

/** The start of a day: temperatures of metal and air, and how much of the season has gone. */
export type EngineDay = {
  readonly coldC: number;
  readonly roomC: number;
  readonly outing: number;
  readonly sailPart: number;
};

/** One engine with everything that its raw water touches. */
export class SeventhEngine {
  readonly ailments: Ailments = healthy();
  readonly mover: Mover;
  readonly raw: RawWater;
  readonly cooling: Cooling;
  readonly elbow: Elbow;
  readonly probes: Probes;
  throttle = 0;
  private readonly demand: Demand;
  private readonly season: Season;
  readonly traits: EngineTraits;

  constructor(boat: BoatTraits, traits: EngineTraits, day: EngineDay, random: Random) {
    this.traits = traits;
    const { coldC, roomC, outing, sailPart } = day;
    this.season = new Season(traits.wear, outing, random);
    this.mover = new Mover(traits.mover, roomC);
    this.raw = new RawWater(traits.raw, random.between(0.3, 1));
    this.cooling = new Cooling(traits.cooling, traits.raw.downstreamLitres, coldC);
    this.elbow = new Elbow(traits.elbow, coldC);
    this.probes = new Probes(traits.probes, coldC, this.season.gone);
    this.demand = new Demand(boat, random, traits.mover.propellerFit * this.season.hullLoad, sailPart);
  }

  get hoseC(): number {
    return this.elbow.hoseC;
  }

  get flowPart(): number {
    return this.raw.flowPart;
  }

  /** Speed of the propeller, of the rated; 0 out of gear. */
  get propeller(): number {
    return this.demand.inGear && this.mover.running ? this.mover.speedPart : 0;
  }

  /** Heat that block, elbow and pipes give to the engine room, W. */
  roomHeatW(roomC: number): number {
    const blockW = this.traits.cooling.roomWPerK * (this.cooling.blockC - roomC);
    return this.mover.radiatedW + blockW + this.elbow.roomHeatW(roomC);
  }

  step(dtS: number, around: Surroundings, air: number, seaC: number, roomC: number, roughness: number): void {
    const { ailments, mover, raw, cooling, elbow, season } = this;
    this.demand.step(dtS, this.throttle, mover.speedPart, around, roughness, ailments.load);
    // Back pressure goes as the square of the flow.
    const backK = season.gasK * (mover.gasKgPerS / mover.ratedGasKgPerS) ** 2;
    mover.step(dtS, this.throttle, this.demand.load, cooling.blockC, roomC, ailments.injectorK + backK);
    const gulp = Math.min(0.9, air * this.traits.raw.gulps);
    raw.step(dtS, mover.speedPart, ailments, season.vanesPart, season.strainerPart, gulp);
    const flowKgPerS = raw.deliveredLitresPerS * seaWaterKgPerLitre;
    const ratedKgPerS = this.traits.elbow.ratedWaterKgPerS;
    const scale = season.exchangerPart * ailments.exchanger;
    cooling.step(dtS, mover, ratedKgPerS, flowKgPerS, seaC, roomC, scale);
    elbow.step(
      dtS,
      flowKgPerS,
      cooling.rawC,
      mover.gasKgPerS,
      mover.gasC,
      mover.gasHumidity,
      cooling.blockC,
      roomC,
    );
    this.probes.step(dtS, elbow, mover, roomC, ailments.fallenProbe);
  }
}
