import type { ElbowBaseline } from '../../guard/baseline.js';
import { type GuardInput, type GuardState, guard } from '../../guard/guard.js';
import type { LearnedTuning } from '../../guard/learned-detector.js';
import { learnedTuning } from '../../guard/tuning.js';
import { makeRandom, type Random } from '../plant/random.js';
import { type TwinId as Engine, twins as engines } from '../plant/twins.js';
import { commissionBoat } from './commission-boat.js';
import { DrawnBoat, passS } from './drawn-boat.js';
import { applyFault, drawFault, type Fault, mendBoat } from './fault.js';
import { Scores } from './scores.js';
import { drawVoyage, followLegs } from './voyage.js';
import { campaignSettings, type DetectorName, detectorNames, type Level, Watchers } from './watchers.js';

export type CampaignOptions = {
  readonly voyages: number;
  readonly seed: number;
  readonly trips?: number;
  readonly voyagesPerBoat?: number;
  readonly tuning?: LearnedTuning;
  /** Only these faults, for a closer look; all by default. */
  readonly only?: (fault: Fault) => boolean;
  readonly withReferences?: boolean;
  /** Every boat has a loose connection at every probe, and not only some. */
  readonly loose?: boolean;
  /** After each voyage, with the scores so far. */
  readonly onVoyage?: (scores: Scores) => void;
};

/** Boats, commissioning, voyages healthy and not; every second voyage has a fault. The same options give the same scores. */
export function runCampaign(options: CampaignOptions): Scores {
  const { voyages, seed, trips = 6, voyagesPerBoat = 12, withReferences = true } = options;
  const tuning = options.tuning ?? learnedTuning;
  const scores = new Scores();
  for (let boatNumber = 0; scores.voyages < voyages; boatNumber++) {
    const random = makeRandom(seed * 100_003 + boatNumber);
    const mounting = boatNumber % 2 === 0 ? 'strap-on' : 'well';
    const boat = new DrawnBoat(Math.floor(random.next() * 2 ** 31), mounting, options.loose);
    const learned = commissionBoat(boat, trips, random, [tuning.leadS[mounting], 6]);
    for (let v = 0; v < voyagesPerBoat && scores.voyages < voyages; v++) {
      const fault = v % 2 === 1 ? drawFault(random) : undefined;
      if (!fault || !options.only || options.only(fault))
        new Voyage(boat, learned, random, fault, scores, tuning, withReferences).sail();
      scores.voyages++;
      options.onVoyage?.(scores);
    }
  }
  return scores;
}

/** One voyage with all detectors watching. */
class Voyage {
  private readonly boat: DrawnBoat;
  private readonly watchers: Watchers;
  private readonly fault: Fault | undefined;
  private readonly random: Random;
  private readonly scores: Scores;
  private readonly before: Record<DetectorName, Record<Engine, Level>>;
  private readonly firstAtS: Partial<Record<DetectorName, number>> = {};
  private readonly blindSettings;
  private blind: GuardState | undefined;

  constructor(
    boat: DrawnBoat,
    learned: readonly ReadonlyMap<string, ElbowBaseline>[],
    random: Random,
    fault: Fault | undefined,
    scores: Scores,
    tuning: LearnedTuning,
    withReferences: boolean,
  ) {
    this.boat = boat;
    this.fault = fault;
    this.random = random;
    this.scores = scores;
    mendBoat(boat);
    boat.moored();
    const [ours, reference] = learned;
    const settings = campaignSettings(boat.probes, ours, true, tuning);
    this.watchers = new Watchers(settings, reference ?? new Map(), boat.atMs, withReferences);
    this.before = structuredClone(this.watchers.levels);
    this.blindSettings = campaignSettings(boat.probes, undefined, false);
  }

  sail(): void {
    const { boat, fault, random } = this;
    const legs = drawVoyage(random);
    const afloatS = legs.findLast((leg) => leg.throttle.port > 0)?.untilS ?? 0;
    const faultAtS = fault ? random.between(500, Math.max(600, afloatS - 300)) : Number.POSITIVE_INFINITY;
    for (let pass = 0; pass * passS < faultAtS && followLegs(boat.plant, legs, pass * passS); pass++)
      this.pass(fault === undefined);
    if (fault) this.suffer(fault);
  }

  /** Holds the load, lets the fault come, and notes when each detector speaks. */
  private suffer(fault: Fault): void {
    const { boat, scores } = this;
    boat.plant.roughness = 0;
    for (const engine of engines) boat.plant.setThrottle(engine, fault.throttle);
    for (let s = 0; s < fault.settleS; s += passS) this.pass(false);
    scores.faults++;
    const engine = boat.plant.engines[fault.engine];
    const flowAt: Partial<Record<DetectorName, number>> = {};
    let hoseAtS: number | undefined;
    for (let s = passS; s < fault.watchS; s += passS) {
      applyFault(fault, boat, s, passS);
      this.pass(false, fault, s, () => engine.ailments.strainer, flowAt);
      if (hoseAtS === undefined && engine.hoseC >= 120) hoseAtS = s;
      if (this.allSpoke() && (fault.kind !== 'full-loss' || hoseAtS !== undefined)) break;
    }
    this.note(fault, hoseAtS, flowAt);
  }

  private allSpoke(): boolean {
    return this.fault !== undefined && detectorNames.every((name) => this.firstAtS[name] !== undefined);
  }

  private note(
    fault: Fault,
    hoseAtS: number | undefined,
    flowAt: Partial<Record<DetectorName, number>>,
  ): void {
    for (const name of detectorNames) {
      const score = this.scores.detectors[name];
      const first = this.firstAtS[name];
      if (fault.kind === 'full-loss') {
        const load = fault.load === 'wide-open' ? 'wideOpen' : fault.load;
        score.fullLoss[this.boat.mounting === 'well' ? 'well' : 'strap'][load].add(first);
        if (hoseAtS !== undefined) {
          score.hoseReached++;
          if (first === undefined || first > hoseAtS) score.hoseUnwarned++;
        }
      } else if (fault.kind === 'impeller') score.impeller.add(first);
      else if (fault.kind === 'strainer') {
        const flow = flowAt[name];
        if (flow === undefined) score.strainerMissed++;
        else score.strainerFlowLeft.push(flow);
      }
    }
  }

  private pass(
    blindToo: boolean,
    fault?: Fault,
    faultS = 0,
    flowLeft: () => number = () => 1,
    flowAt: Partial<Record<DetectorName, number>> = {},
  ): void {
    const { boat, watchers, scores } = this;
    const wasRunning = { port: boat.plant.isRunning('port'), starboard: boat.plant.isRunning('starboard') };
    const input = boat.pass();
    const told = watchers.pass(input, passS);
    scores.falseStuck += told.stuck.length;
    scores.falseUnseen += told.unseen.filter(
      (probe) => !(fault && blindingFaults.has(fault.kind) && probe === `${fault.engine}-elbow`),
    ).length;
    scores.falseFallen += told.fallen.filter(
      (probe) => fault?.kind !== 'probe-fallen' || probe !== `${fault.engine}-elbow`,
    ).length;
    for (const engine of engines) {
      if (wasRunning[engine]) scores.runningHours += passS / 3600;
      const cooling = fault?.engine === engine && coolingFaults.has(fault.kind);
      for (const name of detectorNames) {
        const now = watchers.levels[name][engine];
        const before = this.before[name][engine];
        if (now === before) continue;
        this.before[name][engine] = now;
        if (now === 'none' || (before === 'alarm' && now === 'warning')) continue;
        if (fault?.engine === engine && probeFaults.has(fault.kind))
          scores.detectors[name].brokenProbeWarnings++;
        else if (!cooling) this.count(name, engine, before, now);
        else if (this.firstAtS[name] === undefined) {
          this.firstAtS[name] = faultS;
          flowAt[name] = flowLeft();
        }
      }
    }
    if (blindToo) this.passBlind(input);
  }

  private count(name: DetectorName, engine: Engine, before: Level, now: Level): void {
    const score = this.scores.detectors[name];
    if (now === 'alarm') {
      score.falseAlarms++;
      if (before === 'warning') score.falseWarnings--;
    } else score.falseWarnings++;
    if (name !== 'elbowroom') return;
    const { alert } =
      this.watchers.state.entries.find((e) => e.alert.engine === engine && e.alert.priority === now) ?? {};
    const rule = `${this.fault?.kind ?? 'healthy'}:${alert?.rule ?? '?'}:${now}`;
    this.scores.falseByRule.set(rule, (this.scores.falseByRule.get(rule) ?? 0) + 1);
  }

  /**
   * The same guard without a running input and with nothing learnt, from the moment an engine stops: what heat soak
   * makes it say until the next start.
   */
  private passBlind(input: GuardInput): void {
    for (const engine of engines) {
      const runs = input.running[engine] === true;
      if (this.ran[engine] && !runs) {
        this.scores.stops++;
        this.blind ??= { ...this.watchers.state, entries: [] };
      }
      this.ran[engine] = runs;
    }
    if (!this.blind) return;
    const was = this.blind.entries;
    this.blind = guard(this.blind, { ...input, running: {} }, this.blindSettings).state;
    for (const engine of engines) {
      if (input.running[engine]) continue;
      const loud = (entry: GuardState['entries'][number]) =>
        entry.alert.id === `cooling:${engine}` && entry.alert.state === 'unacknowledged';
      if (this.blind.entries.some(loud) && !was.some(loud)) this.scores.falseAtStopsWithoutInput++;
    }
    if (engines.every((engine) => input.running[engine])) this.blind = undefined;
  }

  private readonly ran: Record<Engine, boolean> = { port: false, starboard: false };
}

const coolingFaults: ReadonlySet<Fault['kind']> = new Set(['full-loss', 'impeller', 'strainer']);
const blindingFaults: ReadonlySet<Fault['kind']> = new Set(['probe-open', 'probe-fallen']);
const probeFaults: ReadonlySet<Fault['kind']> = new Set(['probe-open', 'exhaust-open', 'probe-fallen']);
