import { type Ailments, healthy } from '../../../node/bench/plant/ailments.js';
import { Cooling } from './cooling.js';
import { Diesel } from './diesel.js';
import { Probes } from './probes.js';
import { RawWater } from './raw-water.js';
import type { EngineTraits } from './traits.js';
import { WetExhaust } from './wet-exhaust.js';

/** One engine with its water, exhaust and probes. */
export class Machinery {
  readonly ailments: Ailments = healthy();
  readonly diesel: Diesel;
  readonly raw: RawWater;
  readonly cooling: Cooling;
  readonly exhaust: WetExhaust;
  readonly probes: Probes;
  /** Heat to the engine room, W. */
  roomW = 0;
  readonly traits: EngineTraits;

  constructor(traits: EngineTraits, roomC: number, seaC: number) {
    this.traits = traits;
    this.diesel = new Diesel(traits, roomC);
    this.raw = new RawWater(traits, seaC);
    this.cooling = new Cooling(traits, roomC, seaC);
    this.exhaust = new WetExhaust(traits, roomC);
    this.probes = new Probes(traits, roomC);
  }

  get hoseC(): number {
    return this.exhaust.hoseC;
  }

  get flowPart(): number {
    return this.raw.flowPart;
  }

  get throttle(): number {
    return this.diesel.throttle;
  }

  step(dtS: number, seaC: number, roomC: number, seaway: number): number {
    const { diesel, raw, cooling, exhaust, ailments } = this;
    raw.step(dtS, diesel.speed, seaC, roomC, ailments);
    diesel.step(dtS, { roomC, seaC, ailments, seaway }, cooling.coolantC, raw.kgPerS / this.traits.rawKgPerS);
    const blockW = cooling.step(
      dtS,
      diesel,
      raw,
      roomC,
      ailments.exchanger,
      exhaust.jacketW(cooling.coolantC),
    );
    const pipesW = exhaust.step(dtS, diesel, raw.kgPerS, cooling.outC, cooling.coolantC, { roomC, seaC });
    this.probes.step(dtS, diesel, exhaust, roomC, ailments.fallenProbe);
    this.roomW = blockW + pipesW;
    return this.roomW;
  }
}
