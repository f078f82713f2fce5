import { makeRandom, type Random } from '../../../node/bench/plant/random.js';
import type { TwinId } from '../../../node/bench/plant/twins.js';
import { TwinPlant } from '../twin-plant.js';
import { lagged } from './heat.js';
import { SeventhEngine } from './seventh-engine.js';
import { Surroundings } from './surroundings.js';
import type { BoatTraits, Outing } from './traits.js';

/** Specific heat of air, J/(kg K). */
const airJPerKgK = 1006;
/** A sea chest or hull fitting goes over to the standing leak of heat in about this time without flow, s. */
const standingS = 600;
/** Combustion and fan air come from outside by way of the warm room; this much of it has mixed. */
const mixedAir = 0.8;

/** The seventh boat: two diesels or two sets, from fuel and sea to what the probes feel. */
export class SeventhPlant extends TwinPlant<SeventhEngine> {
  readonly engines: Readonly<Record<TwinId, SeventhEngine>>;
  protected seaReadsC: number;
  protected roomC: number;
  private readonly traits: BoatTraits;
  private readonly around: Surroundings;
  private readonly outsideC: number;
  private seaLeak: number;

  constructor(traits: BoatTraits, { seaC, outsideC, seed, outing = 0 }: Outing) {
    super(seaC);
    const random = makeRandom(seed);
    this.traits = traits;
    this.outsideC = outsideC;
    this.roomC = outsideC + random.between(0, 3);
    this.around = new Surroundings(traits, random);
    const coldC = (seaC + this.roomC) / 2;
    const sailPart = traits.kind === 'sail' && random.chance(0.3) ? random.between(0.35, 0.9) : 1;
    const day = { coldC, roomC: this.roomC, outing, sailPart };
    const engine = (id: TwinId, chance: Random) => new SeventhEngine(traits, traits.engines[id], day, chance);
    this.engines = {
      port: engine('port', makeRandom(Math.floor(random.next() * 2 ** 31))),
      starboard: engine('starboard', makeRandom(Math.floor(random.next() * 2 ** 31))),
    };
    this.seaLeak = traits.seaProbeStandingLeak;
    const atIntakeC = seaC + this.around.warmerK;
    this.seaReadsC = atIntakeC + this.seaLeak * (this.roomC - atIntakeC);
  }

  rpm(engine: string): number {
    return this.of(engine).mover.speedPart * this.traits.ratedRpm;
  }

  isRunning(engine: string): boolean {
    return this.of(engine).mover.running;
  }

  setThrottle(engine: string, value: number): void {
    this.of(engine).throttle = value;
  }

  protected advance(dtS: number): void {
    const { around, traits } = this;
    const { port, starboard } = this.engines;
    around.step(dtS, port.propeller, starboard.propeller, this.roughness);
    const atIntakeC = this.seaC + around.warmerK;
    port.step(dtS, around, around.air[0], atIntakeC, this.roomC, this.roughness);
    starboard.step(dtS, around, around.air[1], atIntakeC, this.roomC, this.roughness);
    this.warmRoom(dtS, port, starboard);
    const flows = port.flowPart > 0.05 || starboard.flowPart > 0.05;
    const leak = flows ? traits.seaProbeLeak : traits.seaProbeStandingLeak;
    this.seaLeak = lagged(this.seaLeak, leak, dtS, flows ? traits.seaProbeS : standingS);
    const seaTargetC = atIntakeC + this.seaLeak * (this.roomC - atIntakeC);
    this.seaReadsC = lagged(this.seaReadsC, seaTargetC, dtS, traits.seaProbeS);
  }

  private warmRoom(dtS: number, port: SeventhEngine, starboard: SeventhEngine): void {
    const { traits } = this;
    const gasKgPerS = port.mover.gasKgPerS + starboard.mover.gasKgPerS;
    const fan = gasKgPerS > 0 ? traits.fanWPerK : 0;
    const changed = traits.roomWPerK + fan + mixedAir * airJPerKgK * gasKgPerS;
    const heatW = port.roomHeatW(this.roomC) + starboard.roomHeatW(this.roomC);
    const rate = dtS / traits.roomJPerK;
    this.roomC = (this.roomC + rate * (heatW + changed * this.outsideC)) / (1 + rate * changed);
  }
}
