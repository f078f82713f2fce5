import { type Ailments, healthy } from '../../../node/bench/plant/ailments.js';
import type { Random } from '../../../node/bench/plant/random.js';
import { Driving } from './driving.js';
import { Elbow } from './elbow.js';
import { Engine, fuelJPerKg } from './engine.js';
import { FreshWater } from './fresh-water.js';
import { Probes } from './probes.js';
import { RawWater } from './raw-water.js';
import { relax } from './relax.js';
import { waterJPerKgK } from './saturation.js';
import type { Seaway } from './sea-and-room.js';
import type { EngineTraits } from './traits.js';

/** One engine with its lever, load, cooling, exhaust and probes. */
export class Machine {
  readonly ailments: Ailments = healthy();
  readonly traits: EngineTraits;
  readonly engine: Engine;
  readonly driving: Driving;
  readonly raw: RawWater;
  readonly fresh: FreshWater;
  readonly elbow: Elbow;
  readonly probes: Probes;
  throttle = 0;
  /** Heat to the air of the room, W. */
  roomW = 0;
  private boat = 0;

  constructor(traits: EngineTraits, roomC: number, seaC: number, random: Random) {
    this.traits = traits;
    this.engine = new Engine(traits);
    const { fuelKgPerS, gasKgPerS } = this.engine.rated;
    // Wall, friction and jacket at rated power, of the fuel; pump and exchanger are chosen for it.
    const heatW = this.engine.rated.coolantPart * fuelKgPerS * fuelJPerKg;
    const rawKgPerS = heatW / (waterJPerKgK * traits.rawRiseK);
    this.driving = new Driving(traits, random);
    this.raw = new RawWater(traits, rawKgPerS, seaC, random);
    this.fresh = new FreshWater(traits, heatW, rawKgPerS, roomC, seaC);
    this.elbow = new Elbow(traits, gasKgPerS, rawKgPerS * (1 - traits.bypass), roomC);
    this.probes = new Probes(traits, roomC, random);
  }

  get flowPart(): number {
    return this.raw.flowPart;
  }
  get hoseC(): number {
    return this.elbow.hoseC;
  }

  step(dtS: number, seaC: number, roomC: number, roughness: number, seaway: Seaway): void {
    const { engine, driving, raw, fresh, elbow, ailments, traits } = this;
    driving.step(dtS, this.throttle, engine.speed);
    engine.throttle = this.throttle;
    const around = { roomC, coolantC: fresh.coolantC, seaC };
    engine.step(dtS, driving.demand, driving.torqueOf(seaway, ailments), around, ailments);
    this.boat = relax(this.boat, traits.isGenerator ? 0 : engine.speed, dtS, 15);
    const { weed } = seaway;
    raw.step(dtS, engine.speed, { seaC, roomC, boat: this.boat, roughness, weed }, ailments);
    const chargeK = engine.chargeCoolerW / (Math.max(1e-6, raw.kgPerS) * waterJPerKgK);
    fresh.step(dtS, {
      heatW: engine.coolantW,
      speed: engine.speed,
      rawKgPerS: raw.kgPerS,
      rawInC: raw.lineC + (raw.kgPerS > 1e-4 ? Math.min(60, chargeK) : 0),
      roomC,
      exchanger: ailments.exchanger,
    });
    elbow.step(
      dtS,
      { kgPerS: engine.gasKgPerS, temperatureC: engine.gasC, fuelKgPerS: engine.fuelW / fuelJPerKg },
      { kgPerS: raw.elbowKgPerS, temperatureC: fresh.outC },
      { coolantC: fresh.coolantC, roomC },
    );
    const gasPart = engine.gasKgPerS / engine.rated.gasKgPerS;
    this.probes.step(dtS, elbow, gasPart, roomC, driving.charge, ailments.fallenProbe);
    // Nearly half of what drives an alternator is heat.
    this.roomW = fresh.toRoomW + elbow.toRoomW + driving.charge * traits.alternatorKw * 800;
  }
}
