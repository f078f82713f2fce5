import type { Random } from '../../../node/bench/plant/random.js';
import { type TwinId as Engine, twins as engines } from '../../../node/bench/plant/twins.js';
import type { GuardInput } from '../../../node/guard/guard.js';
import { temperatureOf } from '../../../node/reading/reading.js';
import { type DrawnBoat, passS } from './drawn-boat.js';
import { applyFault, type Fault, type FaultKind } from './fault.js';
import type { PumpGauges } from './pump-gauges.js';
import {
  type BoatRecord,
  type Moment,
  type WatcherName,
  type WatcherRecord,
  watchersAboard,
} from './record.js';
import { drawVoyage, followLegs } from './voyage.js';
import type { Level, Watchers } from './watchers.js';

/** A restart belongs to the stop before it for this long, s. */
const restartS = 300;

/** One voyage: healthy legs, then the fault if there is one, and what each watcher said of it, noted in the record. */
export class Voyage {
  private readonly boat: DrawnBoat;
  private readonly watchers: Watchers;
  private readonly fault: Fault | undefined;
  private readonly random: Random;
  private readonly record: BoatRecord;
  private readonly gauges: PumpGauges | undefined;
  private readonly names: readonly WatcherName[];
  private readonly before: Record<WatcherName, Record<Engine, Level['priority']>>;
  private readonly firstAtS: Partial<Record<WatcherName, number>> = {};
  private readonly flowAt: Partial<Record<WatcherName, number>> = {};
  private atS = 0;
  private overloadAtS: number | undefined;
  private readonly overloadBefore: Record<Engine, boolean> = { port: false, starboard: false };
  private readonly turnedAtS: Record<Engine, number> = { port: 0, starboard: 0 };
  private readonly ran: Record<Engine, boolean> = { port: false, starboard: false };
  /** Since the last start after a stop on this voyage, s; absent before the first such. */
  private readonly restartedS: Partial<Record<Engine, number>> = {};

  constructor(
    boat: DrawnBoat,
    watchers: Watchers,
    random: Random,
    fault: Fault | undefined,
    record: BoatRecord,
    gauges: PumpGauges | undefined,
  ) {
    this.boat = boat;
    this.watchers = watchers;
    this.random = random;
    this.fault = fault;
    this.record = record;
    this.gauges = gauges;
    this.names = watchersAboard(gauges !== undefined);
    const none = () => ({ port: 'none' as const, starboard: 'none' as const });
    this.before = { switch: none(), limits: none(), learned: none(), pressure: none() };
  }

  sail(): void {
    const { boat, fault, random } = this;
    const legs = drawVoyage(random);
    const afloatS = legs.findLast((leg) => leg.throttle.port > 0)?.untilS ?? 0;
    let faultAtS = Number.POSITIVE_INFINITY;
    if (fault) faultAtS = fault.load === 'start' ? 0 : random.between(500, Math.max(600, afloatS - 300));
    for (let pass = 0; pass * passS < faultAtS && followLegs(boat.plant, legs, pass * passS); pass++)
      this.pass();
    if (fault) this.suffer(fault);
  }

  /** Holds the load, lets the fault come, and notes when each watcher raises something. */
  private suffer(fault: Fault): void {
    const { boat } = this;
    boat.plant.roughness = 0;
    for (const engine of engines) boat.plant.setThrottle(engine, fault.throttle);
    for (let s = 0; s < fault.settleS; s += passS) this.pass();
    const engine = boat.plant.engines[fault.engine];
    let hoseAtS: number | undefined;
    for (let s = passS; s < fault.watchS; s += passS) {
      applyFault(fault, boat, s, passS);
      this.pass(fault.kind, s);
      if (hoseAtS === undefined && engine.hoseC >= 120) hoseAtS = s;
      const allSpoke = this.names.every((name) => this.firstAtS[name] !== undefined);
      if (allSpoke && fault.kind !== 'overload' && (fault.kind !== 'full-loss' || hoseAtS !== undefined))
        break;
    }
    for (const name of this.names) this.note(fault, name, hoseAtS);
    if (fault.kind === 'overload') this.record.overloads.push(this.overloadAtS ?? null);
  }

  private note(fault: Fault, name: WatcherName, hoseAtS: number | undefined): void {
    const watcher = this.recordOf(name);
    const afterS = this.firstAtS[name] ?? null;
    if (fault.kind === 'full-loss')
      watcher.losses.push({
        load: fault.load,
        afterS,
        hoseUnwarned: hoseAtS === undefined ? null : afterS === null || afterS > hoseAtS,
      });
    if (fault.kind === 'impeller') watcher.impellers.push(afterS);
    if (fault.kind === 'strainer') watcher.strainers.push(this.flowAt[name] ?? null);
  }

  /** One pass; `acting` is the fault that acts, for `faultS` now. */
  private pass(acting?: FaultKind, faultS = 0): void {
    const { boat, watchers, record, fault, gauges } = this;
    const input = boat.pass();
    this.atS += passS;
    const pressures = gauges?.read((engine) => boat.plant.pumpPressureKpa(engine), input.nowMs);
    const found = watchers.pass(input, passS, pressures);
    for (const { rule, probe } of found) {
      const itself = fault && probe.startsWith(fault.engine) && acting !== undefined;
      if (rule === 'probe-stuck' && !itself) record.falseStuck++;
      if (rule === 'cooling-unseen' && !(itself && probeFaults.has(acting))) record.falseUnseen++;
      if (rule === 'probe-fallen' && !(itself && acting === 'probe-fallen')) record.falseFallen++;
    }
    for (const engine of engines) {
      const own = acting !== undefined && fault?.engine === engine ? acting : undefined;
      this.follow(engine, own === undefined);
      this.noteOverload(engine, own, faultS);
      for (const name of this.names) {
        const now = watchers.levels[name][engine];
        const before = this.before[name][engine];
        if (now.priority === before) continue;
        this.before[name][engine] = now.priority;
        if (now.priority === 'none' || (before === 'alarm' && now.priority === 'warning')) continue;
        if (own && probeFaults.has(own)) this.recordOf(name).brokenProbe++;
        else if (!own || !coolingFaults.has(own))
          this.recordOf(name).falseAlerts.push({
            when: this.whenOf(engine),
            priority: now.priority,
            rule: now.rule,
            beside: acting ?? 'none',
            moment: this.momentOf(engine, now, input),
          });
        else if (this.firstAtS[name] === undefined) {
          this.firstAtS[name] = faultS;
          this.flowAt[name] = boat.plant.engines[engine].flowPart;
        }
      }
    }
  }

  private recordOf(name: WatcherName): WatcherRecord {
    const record = this.record.watchers[name];
    if (!record) throw new Error(`No record of the watcher ${name}.`);
    return record;
  }

  private noteOverload(engine: Engine, own: FaultKind | undefined, faultS: number): void {
    const now = this.watchers.overloaded(engine);
    if (now && !this.overloadBefore[engine]) {
      if (own === 'overload') this.overloadAtS ??= faultS;
      else if (own !== 'injector') this.record.falseOverload++;
    }
    this.overloadBefore[engine] = now;
  }

  private momentOf(engine: Engine, { evidence }: Level, input: GuardInput): Moment {
    const { hoseC, flowPart, throttle } = this.boat.plant.engines[engine];
    const readC = Object.fromEntries(
      input.readings.map((reading) => [reading.probe, round(temperatureOf(reading) ?? Number.NaN)]),
    );
    return {
      voyage: this.record.voyages,
      atS: round(this.atS),
      engine,
      sinceS: round(this.atS - this.turnedAtS[engine]),
      throttle: round(throttle),
      readC,
      values: evidence?.values ?? {},
      thresholds: evidence?.thresholds ?? {},
      hoseC: round(hoseC),
      flowPart: round(flowPart),
    };
  }

  /** Counts healthy hours, stops and restarts of one engine. */
  private follow(engine: Engine, healthy: boolean): void {
    const { record } = this;
    const runs = this.boat.plant.isRunning(engine);
    if (runs && healthy) record.runningHours += passS / 3600;
    if (runs !== this.ran[engine]) this.turnedAtS[engine] = this.atS;
    const restarted = this.restartedS[engine];
    if (this.ran[engine] && !runs) {
      record.stops++;
      this.restartedS[engine] = 0;
    } else if (!this.ran[engine] && runs && restarted !== undefined) record.restarts++;
    if (runs && restarted !== undefined) this.restartedS[engine] = restarted + passS;
    this.ran[engine] = runs;
  }

  private whenOf(engine: Engine): 'running' | 'stopped' | 'restart' {
    if (!this.ran[engine]) return 'stopped';
    const restarted = this.restartedS[engine];
    return restarted !== undefined && restarted < restartS ? 'restart' : 'running';
  }
}

const coolingFaults: ReadonlySet<FaultKind> = new Set(['full-loss', 'impeller', 'strainer']);
const probeFaults: ReadonlySet<FaultKind> = new Set(['probe-open', 'exhaust-open', 'probe-fallen']);

const round = (value: number): number => Math.round(value * 100) / 100;
