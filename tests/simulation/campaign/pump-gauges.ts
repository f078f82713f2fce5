import type { Random } from '../../../node/bench/plant/random.js';
import { type TwinId, twins } from '../../../node/bench/plant/twins.js';
import type { ProbeSettings } from '../../../node/guard/settings.js';
import { valued } from '../../../node/reading/quantity.js';
import type { Reading } from '../../../node/reading/reading.js';
import { passS } from './drawn-boat.js';

/** 200 kPa over 0.8 of 1024 counts; eight of them averaged, with about a count of noise (see the plan's converter). */
const stepKpa = 200 / 819.2;
const meanNoiseCounts = 0.35;

/** The pressure probes of one drawn boat: cheap transducers behind snubbers, each with its own errors. */
export class PumpGauges {
  readonly probes: readonly ProbeSettings[] = twins.map((engine) => ({
    id: `${engine}-pump`,
    name: `${engine} pump`,
    engine,
    place: 'raw-water-pressure',
    mounting: 'free',
  }));
  private readonly gauges: readonly PumpGauge[];

  /** `loose`: its plugs have bursts of a bad contact, one to six an hour. */
  constructor(random: Random, loose: boolean) {
    this.gauges = twins.map((engine) => new PumpGauge(engine, random, loose || random.chance(0.06)));
  }

  /** What the guard is given of a pump whose true pressure `kpaOf` says, in one pass. */
  read(kpaOf: (engine: TwinId) => number, atMs: Reading['readAtMs']): readonly Reading[] {
    return this.gauges.map((gauge) => gauge.read(kpaOf(gauge.engine), atMs));
  }
}

/** Errors, lag and noise are invented, within what data sheets of such parts say; 1 % zero and span. */
class PumpGauge {
  readonly engine: TwinId;
  private readonly random: Random;
  private readonly zeroKpa: number;
  private readonly span: number;
  /** Of a snubber or 20 cm of small-bore tube, s. */
  private readonly lagS: number;
  /** What the vanes leave behind it, part of the pressure. */
  private readonly pulse: number;
  private readonly dropoutsPerHour: number;
  private readonly burstsPerHour: number;
  /** The zero wanders with the engine room's warmth: how far at most, kPa, and where it is of that. */
  private readonly wandersKpa: number;
  private wander = 0;
  private lagged = 0;
  private lastAtMs: number | undefined;
  private missingS = 0;
  private burstS = 0;

  constructor(engine: TwinId, random: Random, loose: boolean) {
    const { between } = random;
    this.engine = engine;
    this.random = random;
    this.zeroKpa = between(-2, 2);
    this.span = between(0.99, 1.01);
    this.lagS = between(0.05, 0.6);
    this.pulse = between(0.01, 0.05);
    this.dropoutsPerHour = between(0, 0.3);
    this.burstsPerHour = loose ? between(1, 6) : 0;
    this.wandersKpa = between(0.1, 0.8);
  }

  read(trueKpa: number, readAtMs: Reading['readAtMs']): Reading {
    const { random, lagS } = this;
    const probe = `${this.engine}-pump`;
    // A snubber does not remember the voyage before.
    const goesOn = this.lastAtMs !== undefined && readAtMs - this.lastAtMs < 60_000;
    this.lagged = goesOn ? this.lagged + (trueKpa - this.lagged) * (1 - Math.exp(-passS / lagS)) : trueKpa;
    this.lastAtMs = readAtMs;
    this.wander += -this.wander * (passS / 1800) + Math.sqrt((2 * passS) / 1800) * random.normal();
    if (this.missingS > 0) this.missingS -= passS;
    else if (random.chance((this.dropoutsPerHour * passS) / 3600)) this.missingS = random.between(0.5, 15);
    if (this.burstS > 0) this.burstS -= passS;
    else if (random.chance((this.burstsPerHour * passS) / 3600)) this.burstS = random.between(0.5, 8);
    if (this.missingS > 0) return { probe, readAtMs, result: { kind: 'missing', reason: 'no-answer' } };
    // The resistor to ground at the board makes a signal without contact read as open.
    if (this.burstS > 0 && random.chance(0.5))
      return { probe, readAtMs, result: { kind: 'missing', reason: 'open' } };
    const noiseKpa = meanNoiseCounts * stepKpa * random.normal() + this.pulse * this.lagged * random.normal();
    const kpa = this.zeroKpa + this.wandersKpa * this.wander + this.span * this.lagged + noiseKpa;
    const step = Math.round(kpa / (stepKpa / 8)) * (stepKpa / 8);
    return { probe, readAtMs, result: { kind: 'measured', ...valued('pressure', step, 1) } };
  }
}
