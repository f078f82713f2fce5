import type { MonotonicMs } from '../clock.js';
import { type Engine, engines } from '../kit/schema.js';
import type { Reading } from '../reading.js';
import type { Alert, AlertCommand, CommandAnswer } from './alert.js';
import { believedC, faultOf, isSettling, slopeCPerS, takeReading } from './channel.js';
import type { Condition } from './condition.js';
import { elbowAtRest, elbowCondition, stepElbow } from './elbow.js';
import type { ElbowView } from './elbow-view.js';
import { type EngineState, engineConditions, stepEngine } from './engine.js';
import { boardLost, probeFault } from './faults.js';
import { firstProbeState, type GuardState, type ProbeState } from './guard-state.js';
import { alarmLimitOf, highLimit } from './high-limit.js';
import { openLatch, stepLatch } from './latch.js';
import { keepLedger } from './ledger.js';
import type { ElbowSign } from './rest.js';
import { arrangementOf, type GuardSettings, type ProbeSettings } from './settings.js';
import { elbowLimits } from './settings-from-kit.js';
import { slowAtRest, slowConditions, type Twin } from './slow-side.js';
import { witnessOf } from './witness.js';

export { type GuardState, resumeGuard, startGuard } from './guard-state.js';

export type GuardInput = {
  /** The time of this pass. Never earlier than the last; the same clock as `readAtMs`. */
  readonly nowMs: MonotonicMs;
  /** What was read since the last pass, in order. */
  readonly readings: readonly Reading[];
  /** Levels of the running inputs, true is running; absent where none is wired or none is known yet. */
  readonly running: { readonly [engine in Engine]?: boolean };
  readonly board: 'connected' | 'connecting' | 'lost';
  readonly commands?: readonly AlertCommand[];
};

export type GuardResult = {
  readonly state: GuardState;
  /** Every alert that stands or is still in view. Unchanged alerts keep their identity. */
  readonly alerts: readonly Alert[];
  /** One for each command, in order. */
  readonly answers: readonly CommandAnswer[];
};

/** A board that was there and is gone is told after this long; one that has not answered yet may still be starting. */
const boardGraceMs = 3000;
const firstBoardGraceMs = 12_000;

type Probes = Readonly<Record<string, ProbeState>>;
type Engines = Readonly<Record<Engine, EngineState>>;

/**
 * One pass: pure, no clock, nothing outside its arguments. Call it at every pass of the node, even without readings.
 * Channels first, then each engine as a whole, then its elbows, then the ledger of alerts.
 */
export function guard(state: GuardState, input: GuardInput, settings: GuardSettings): GuardResult {
  const { nowMs } = input;
  const dtS = Math.max(0, nowMs - state.atMs) / 1000;
  const away = input.board !== 'connected';
  const awakeSinceMs = away ? nowMs : state.awakeSinceMs;
  const boardAwaySinceMs = away ? (state.boardAwaySinceMs ?? nowMs) : undefined;

  const heard = hear(state, input, settings);
  const engineStates = stepEngines(state.engines, heard, input, settings, dtS);
  const probes = away ? heard : judgeElbows(state.probes, heard, engineStates, settings, nowMs, dtS);

  const conditions: Condition[] = [];
  const boardSeen = state.boardSeen || !away;
  if (
    boardAwaySinceMs !== undefined &&
    nowMs - boardAwaySinceMs >= (boardSeen ? boardGraceMs : firstBoardGraceMs)
  )
    conditions.push(boardLost((nowMs - boardAwaySinceMs) / 1000));
  for (const probe of settings.probes) {
    const now = probes[probe.id] ?? firstProbeState;
    const fault = away ? undefined : faultOf(now.channel, nowMs, awakeSinceMs);
    if (fault) conditions.push(probeFault(probe, fault, now.channel, nowMs, awakeSinceMs));
    const limit = highLimit(probe, now, isStopped(probe, state));
    if (limit) conditions.push(limit);
    if (now.elbow) conditions.push(...slowConditions(probe, now.elbow.slow));
    if (now.elbow?.standing) {
      const view = viewOf(probe, now, heard, engineStates, settings, dtS);
      conditions.push(elbowCondition(probe, now.elbow.standing.finding, view, alarmLimitC(probe)));
    }
  }
  if (!away)
    for (const engine of engines)
      conditions.push(
        ...engineConditions(engine, engineStates[engine], arrangementOf(settings).learnedMaxC[engine]),
      );

  const { entries, answers } = keepLedger(state.entries, conditions, input.commands ?? [], {
    nowMs,
    escalateAfterS: settings.escalateAfterS,
  });
  return {
    state: {
      atMs: nowMs,
      awakeSinceMs,
      probes,
      engines: engineStates,
      boardSeen,
      boardAwaySinceMs,
      entries,
    },
    alerts: entries.map((entry) => entry.alert),
    answers,
  };
}

/** Takes the readings into channels and limits. Readings of probes the settings do not know are left alone. */
function hear(state: GuardState, input: GuardInput, settings: GuardSettings): Probes {
  const probes: Record<string, ProbeState> = {};
  for (const probe of settings.probes) {
    const before = state.probes[probe.id] ?? firstProbeState;
    const stopped = isStopped(probe, state);
    probes[probe.id] = stopped && before.warning.on ? { ...before, warning: openLatch } : before;
  }
  const { indexOf } = arrangementOf(settings);
  for (const reading of input.readings) {
    const probe = settings.probes[indexOf.get(reading.probe) ?? -1];
    if (!probe) continue;
    const before = probes[probe.id] ?? firstProbeState;
    const channel = takeReading(
      before.channel,
      reading,
      probe.place,
      witnessOf(probe, probes, state, settings),
    );
    let { alarm, warning } = before;
    if (reading.result.kind === 'measured') {
      const { temperatureC } = reading.result;
      const stopped = isStopped(probe, state);
      const alarmLimit = alarmLimitOf(probe, stopped);
      // Holds are measured by when the readings were made, and never over a gap.
      const { lastGoodAtMs } = before.channel;
      const sinceS = lastGoodAtMs === undefined ? 0 : Math.min(2, (reading.readAtMs - lastGoodAtMs) / 1000);
      if (alarmLimit) alarm = stepLatch(alarm, temperatureC, alarmLimit, sinceS);
      if (probe.warning && !stopped) warning = stepLatch(warning, temperatureC, probe.warning, sinceS);
    }
    probes[probe.id] = { channel, alarm, warning, elbow: before.elbow };
  }
  return probes;
}

const isStopped = (probe: ProbeSettings, state: GuardState): boolean =>
  probe.place === 'wet-elbow' &&
  probe.engine !== 'both' &&
  state.engines[probe.engine].run.phase === 'stopped';

function stepEngines(
  before: Engines,
  heard: Probes,
  input: GuardInput,
  settings: GuardSettings,
  dtS: number,
): Engines {
  const { exhaust, learnedMaxC } = arrangementOf(settings);
  const step = (engine: Engine): EngineState => {
    const gas = exhaust[engine];
    return stepEngine(before[engine], {
      wired: settings.runningInput[engine],
      input: input.running[engine],
      exhaustC: gas && believedC((heard[gas.id] ?? firstProbeState).channel, input.nowMs),
      elbow: hottestElbow(engine, heard, input.nowMs, settings),
      learnedMaxC: learnedMaxC[engine],
      dtS,
    });
  };
  return { port: step('port'), starboard: step('starboard') };
}

function hottestElbow(
  engine: Engine,
  heard: Probes,
  nowMs: MonotonicMs,
  settings: GuardSettings,
): ElbowSign | undefined {
  let hottest: ElbowSign | undefined;
  for (const probe of settings.probes) {
    if (probe.place !== 'wet-elbow' || probe.engine !== engine) continue;
    const { channel } = heard[probe.id] ?? firstProbeState;
    const elbowC = believedC(channel, nowMs);
    if (elbowC === undefined || (hottest && hottest.elbowC >= elbowC)) continue;
    hottest = {
      elbowC,
      slopeCPerS: isSettling(channel, nowMs) ? 0 : slopeCPerS(channel),
      limitC: probe.warning?.raiseAt ?? elbowLimits.warning.raiseAt,
    };
  }
  return hottest;
}

/** Steps the detectors of each elbow whose reading can be believed; the others keep what they know. */
function judgeElbows(
  before: Probes,
  heard: Probes,
  engineStates: Engines,
  settings: GuardSettings,
  nowMs: MonotonicMs,
  dtS: number,
): Probes {
  const probes: Record<string, ProbeState> = { ...heard };
  for (const probe of settings.probes) {
    const now = heard[probe.id];
    if (probe.place !== 'wet-elbow' || !now || isSettling(now.channel, nowMs)) continue;
    if (believedC(now.channel, nowMs) === undefined) continue;
    const view = viewOf(probe, now, heard, engineStates, settings, dtS);
    if (!view) continue;
    const elbow = stepElbow(now.elbow ?? elbowAtRest, view, {
      limitC: probe.warning?.raiseAt ?? elbowLimits.warning.raiseAt,
      baseline: probe.baseline,
      otherK: residualOfTwin(probe, before, settings, engineStates),
      twin: twinOf(probe, before, settings, engineStates),
      tuning: settings.tuning,
    });
    probes[probe.id] = { channel: now.channel, alarm: now.alarm, warning: now.warning, elbow };
  }
  return probes;
}

/** The other engine's residual at an elbow mounted alike, while it can be judged. */
function residualOfTwin(
  probe: ProbeSettings,
  before: Probes,
  settings: GuardSettings,
  engineStates: Engines,
): number | undefined {
  const twin = arrangementOf(settings).twinOf.get(probe.id);
  if (!twin || twin.engine === 'both') return undefined;
  const { run } = engineStates[twin.engine];
  if (run.phase !== 'running' || run.forS < settings.tuning.graceS) return undefined;
  return before[twin.id]?.elbow?.learned.meanK;
}

/** What the slow side may know of the other engine, while that runs. */
function twinOf(
  probe: ProbeSettings,
  before: Probes,
  settings: GuardSettings,
  engineStates: Engines,
): Twin | undefined {
  const other = arrangementOf(settings).twinOf.get(probe.id);
  if (!other || other.engine === 'both') return undefined;
  const slow = before[other.id]?.elbow?.slow ?? slowAtRest;
  const { run, exhaust } = engineStates[other.engine];
  if (run.phase !== 'running') return undefined;
  return { lastMinute: slow.lastMinute, sinceMinuteS: slow.sinceMinuteS, exhaustC: exhaust?.a };
}

function viewOf(
  probe: ProbeSettings,
  now: ProbeState,
  heard: Probes,
  engineStates: Engines,
  settings: GuardSettings,
  dtS: number,
): ElbowView | undefined {
  if (probe.engine === 'both' || now.channel.fastC === undefined) return undefined;
  const { run, exhaust } = engineStates[probe.engine];
  const { sea } = arrangementOf(settings);
  return {
    elbowC: now.channel.fastC,
    slopeCPerS: slopeCPerS(now.channel),
    seaC: sea && heard[sea.id]?.channel.slowC,
    exhaust,
    phase: run.phase,
    sinceStartS: run.forS,
    mounting: probe.mounting,
    dtS,
  };
}

/** What the detectors see of one elbow in a state; for commissioning, which learns from exactly that. */
export function elbowViewOf(
  state: GuardState,
  probeId: string,
  settings: GuardSettings,
): (ElbowView & { readonly settling: boolean }) | undefined {
  const probe = settings.probes.find((p) => p.id === probeId);
  const now = state.probes[probeId];
  if (!probe || !now || believedC(now.channel, state.atMs) === undefined) return undefined;
  const view = viewOf(probe, now, state.probes, state.engines, settings, 0);
  return view && { ...view, settling: isSettling(now.channel, state.atMs) };
}

const alarmLimitC = (probe: ProbeSettings): number => probe.alarm?.raiseAt ?? elbowLimits.alarm.raiseAt;
