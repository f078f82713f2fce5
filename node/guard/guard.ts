import type { Alert, AlertCommand, CommandAnswer } from '../alerts/alert.js';
import type { BuzzerVerdict } from '../alerts/buzzer-verdict.js';
import type { Condition } from '../alerts/condition.js';
import { keepLedger } from '../alerts/ledger.js';
import type { Engine } from '../kit/engines.js';
import type { Reading } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import { stepBoard } from './board-watch.js';
import { isPending } from './channel-trust.js';
import {
  detachedProbes,
  disagreeingElbows,
  doubtfulEngines,
  fadingCooling,
  faultyProbes,
  implausibleDividers,
  lostBoard,
  lostCooling,
  passedLimits,
  unprovenProbes,
  unseenCooling,
} from './conditions.js';
import type { Detector, Scene } from './detector.js';
import { stepDividers } from './dividers.js';
import { stepElbowPairs } from './elbow-pair.js';
import { engineStateOf } from './engine.js';
import { found } from './found.js';
import type { GuardState } from './guard-state.js';
import { dividedElbows, judgeElbows } from './judge-elbows.js';
import type { Notice } from './notice.js';
import { noticeConditions } from './notices.js';
import { firstProbeState } from './probe-state.js';
import { lostPressure, stepPumps } from './pumps.js';
import { arrangementOf, type GuardSettings } from './settings.js';
import { stepSight } from './sight.js';
import { silentBuzzer } from './silent-buzzer.js';
import { stepEngines } from './step-engines.js';
import { takeReadings } from './take-readings.js';

export { elbowViewOf } from './elbow-views.js';
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
  /** What its current says of the buzzer, where that is read back. */
  readonly buzzer?: BuzzerVerdict | undefined;
  /** What is not as the owner set it up. */
  readonly notices?: readonly Notice[];
};

export type GuardResult = {
  readonly state: GuardState;
  /** Every alert that is active or still in view. Unchanged alerts keep their identity. */
  readonly alerts: readonly Alert[];
  /** One for each command, in order. */
  readonly answers: readonly CommandAnswer[];
};

/** Everything the guard can find wrong. Order matters only between equals: of two rules in one alert the first gives the message. */
const detectors: readonly Detector[] = [
  unseenCooling,
  implausibleDividers,
  lostBoard,
  faultyProbes,
  detachedProbes,
  unprovenProbes,
  disagreeingElbows,
  passedLimits,
  fadingCooling,
  lostPressure,
  lostCooling,
  doubtfulEngines,
  silentBuzzer,
  noticeConditions,
];

/**
 * One pass: pure, no clock, nothing outside its arguments. Call it at every pass of the node, even without readings.
 */
export function guard(state: GuardState, input: GuardInput, settings: GuardSettings): GuardResult {
  const { nowMs } = input;
  const scene = sceneOf(state, input, settings);
  const { away, awakeSinceMs, probes, engines, board, dividers, sight, pairs } = scene;
  const conditions = withNames(
    found(detectors, (detect) => detect(scene)),
    settings,
  );

  const { entries, answers } = keepLedger(state.entries, conditions, input.commands ?? [], {
    nowMs,
    escalateAfterS: settings.escalateAfterS,
    unjudged: ({ probe }, situation) => {
      if (situation === 'blind') return away || nowMs - awakeSinceMs < blindJudgedAfterMs;
      if (situation === 'load' || situation === 'running-input') return away;
      if (situation !== 'probe-fault' || probe === undefined) return false;
      return away || isPending((probes[probe] ?? firstProbeState).channel, nowMs, awakeSinceMs);
    },
  });
  return {
    state: { atMs: nowMs, awakeSinceMs, probes, engines, board, dividers, sight, pairs, entries },
    alerts: entries.map((entry) => entry.alert),
    answers,
  };
}

/** Everything that this pass works out: channels first, then each engine as a whole, then its pump and elbows. */
function sceneOf(state: GuardState, input: GuardInput, settings: GuardSettings): Scene {
  const { nowMs } = input;
  const dtS = Math.max(0, nowMs - state.atMs) / 1000;
  const away = input.board !== 'connected';
  const awakeSinceMs = away ? nowMs : state.awakeSinceMs;
  const board = stepBoard(state.board, !away, nowMs);

  const heard = takeReadings(state, input, settings);
  const engines = stepEngines(state.engines, heard, input, settings, dtS);
  const pumped = away ? heard : stepPumps(heard, engines, input, settings);
  const probes = away ? pumped : judgeElbows(state.probes, pumped, engines, settings, nowMs, dtS);

  const dividers = stepDividers(
    state.dividers,
    {
      readings: input.readings,
      elbowsC: dividedElbows(heard, settings, nowMs),
      anyEngineRuns: settings.engines.some(
        ({ id }) => input.running[id] || engineStateOf(engines, id).run.phase === 'running',
      ),
      nowMs,
      dtS,
    },
    settings,
  );

  const seen = { probes, engines, settings, nowMs, awakeSinceMs };
  const sight = away ? state.sight : stepSight(state.sight, seen, dtS);
  const pairs = away ? state.pairs : stepElbowPairs(state.pairs, seen, dtS);

  return {
    settings,
    nowMs,
    dtS,
    awakeSinceMs,
    away,
    before: state,
    probes,
    engines,
    board,
    dividers,
    sight,
    pairs,
    buzzer: input.buzzer,
    notices: input.notices ?? [],
  };
}

/** After a start or the return of the board it takes this long until a blindness is known to be over. */
const blindJudgedAfterMs = 35_000;

/** Alerts name an engine as its owner does. */
const withNames = (conditions: readonly Condition[], settings: GuardSettings): readonly Condition[] =>
  conditions.length === 0
    ? conditions
    : conditions.map((condition) => {
        const engine = condition.engine && arrangementOf(settings).engineOf.get(condition.engine);
        return engine ? { ...condition, engineSaid: { name: engine.name, kind: engine.kind } } : condition;
      });
