import { makeRandom, type Random } from '../../../node/bench/plant/random.js';
import { type TwinId, twins } from '../../../node/bench/plant/twins.js';
import { TwinPlant } from '../twin-plant.js';
import { Machine } from './machine.js';
import { Wiring } from './probes.js';
import { relax } from './relax.js';
import { SeaAndRoom } from './sea-and-room.js';
import type { BoatTraits } from './traits.js';

/** An invented cruising boat with two diesels or two generator sets of 8 to 200 kW each. */
export class SixthPlant extends TwinPlant<Machine> {
  readonly engines: Readonly<Record<TwinId, Machine>>;
  readonly around: SeaAndRoom;
  private seaProbeC: number;
  private seaWiredC: number;
  private readonly seaWiring: Wiring;
  private readonly traits: BoatTraits;

  constructor(traits: BoatTraits, day: { seaC: number; outsideC: number; seed: number }) {
    super(day.seaC);
    const random: Random = makeRandom(day.seed);
    this.traits = traits;
    this.seaProbeC = this.seaWiredC = day.seaC;
    this.around = new SeaAndRoom(traits, day.outsideC, random);
    this.seaWiring = new Wiring(traits.seaProbe.wiring, random);
    const make = (id: TwinId) => new Machine(traits.engines[id], day.outsideC, day.seaC, random);
    this.engines = { port: make('port'), starboard: make('starboard') };
  }

  protected get seaReadsC(): number {
    return this.seaWiredC;
  }

  protected get roomC(): number {
    return this.around.roomC;
  }

  rpm(engine: string): number {
    return this.of(engine).engine.speed * this.of(engine).traits.ratedRpm;
  }

  isRunning(engine: string): boolean {
    return this.of(engine).engine.isRunning;
  }

  setThrottle(engine: string, value: number): void {
    this.of(engine).throttle = Math.max(0, Math.min(1, value));
  }

  protected advance(dtS: number): void {
    const { around, traits, engines } = this;
    const waterC = around.waterC(this.seaC);
    let [heatW, airKgPerS, charge] = [0, 0, 0];
    for (const id of twins) {
      const machine = engines[id];
      const seaway = around.seaway(dtS, this.roughness, id === 'port' ? 1 : -1);
      machine.step(dtS, waterC, around.roomC, this.roughness, seaway);
      heatW += machine.roomW;
      airKgPerS += machine.engine.gasKgPerS;
      charge = Math.max(charge, machine.driving.charge);
    }
    around.step(dtS, heatW, airKgPerS);
    // The probe sits in or on the port engine's strainer; its water rests, and warms, when that engine is stopped.
    const { lineC } = engines.port.raw;
    const { tauS, roomLeak } = traits.seaProbe;
    this.seaProbeC = relax(this.seaProbeC, lineC + roomLeak * (around.roomC - lineC), dtS, tauS);
    this.seaWiredC = this.seaProbeC + this.seaWiring.step(dtS, charge);
  }
}
