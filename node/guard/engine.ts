import type { Condition } from '../alerts/condition.js';
import { inWords } from '../alerts/engine-words.js';
import type { Engine } from '../kit/engines.js';
import { warmUpS } from './baseline.js';
import { type ExhaustMemory, isThrottledBack, stepExhaustMemory } from './exhaust-memory.js';
import type { ElbowSign } from './rest.js';
import { firstRunState, type RunState, stepRunning } from './running.js';
import type { EngineSettings } from './settings.js';

/** What the guard knows of one engine as a whole. */
export type EngineState = {
  readonly run: RunState;
  /** Absent while the exhaust-gas probe is not there or not believed. */
  readonly exhaust: ExhaustMemory | undefined;
  /** The last memories that could be believed, and how long ago, s: what the gas was is not forgotten by a moment without it. */
  readonly lastExhaust?: ExhaustMemory | undefined;
  readonly gasAwayS?: number;
  /** How long the gas has been above what commissioning met, s. */
  readonly overloadS: number;
  /** Seconds of warming through, `warmUpS` at the most: up while it runs, and away as a stopped engine cools. */
  readonly warmS: number;
  /** Since its gas last fell as after a throttle that was closed, s; `longAgoS` at the most. */
  readonly sinceThrottledBackS: number;
};
/** From then on nothing is left of what a closed throttle did, s. */
export const longAgoS = 600;
export const firstEngineState: EngineState = {
  run: firstRunState,
  exhaust: undefined,
  overloadS: 0,
  warmS: 0,
  sinceThrottledBackS: longAgoS,
};

/** A stopped engine block loses its warmth with this time constant, s; common practice, no source. */
const blockCoolsS = 2400;

/**
 * How far above the hottest gas of commissioning an overload begins: a season’s loads passed six trips by 20 to 54 K at 370 to 454 C on
 * simulated boats that had no overload, in proportion to their gas.
 */
const overloadMoreK = (learnedMaxC: number): number => Math.max(18, 0.12 * learnedMaxC);
const overloadHoldS = 60;

/** By id; an engine that has not been judged yet is absent. */
export type EngineStates = Readonly<Record<Engine, EngineState>>;

export const engineStateOf = (engines: EngineStates, engine: Engine): EngineState =>
  engines[engine] ?? firstEngineState;

export type EngineSigns = {
  readonly wired: boolean;
  readonly input: boolean | undefined;
  /** Believed exhaust gas now. */
  readonly exhaustC: number | undefined;
  /** The hottest believed elbow now. */
  readonly elbow: ElbowSign | undefined;
  /** Hottest gas that commissioning met, where there was commissioning. */
  readonly learnedMaxC: number | undefined;
  readonly dtS: number;
};

export function stepEngine(state: EngineState, signs: EngineSigns): EngineState {
  const { wired, input, exhaustC, elbow, learnedMaxC, dtS } = signs;
  const gasAwayS = (state.gasAwayS ?? 0) + dtS;
  const exhaust =
    exhaustC === undefined ? undefined : stepExhaustMemory(state.lastExhaust, exhaustC, gasAwayS);
  const run = stepRunning(state.run, { wired, input, exhaust, elbow, dtS });
  const over =
    exhaust !== undefined &&
    learnedMaxC !== undefined &&
    exhaust.a > learnedMaxC + overloadMoreK(learnedMaxC);
  const overloadS = over ? state.overloadS + dtS : Math.max(0, state.overloadS - dtS * 3);
  const warmS =
    run.phase === 'running'
      ? Math.min(warmUpS, state.warmS + dtS)
      : state.warmS * Math.exp(-dtS / blockCoolsS);
  const sinceThrottledBackS =
    exhaust && isThrottledBack(exhaust) ? 0 : Math.min(longAgoS, state.sinceThrottledBackS + dtS);
  return {
    run,
    exhaust,
    lastExhaust: exhaust ?? state.lastExhaust,
    gasAwayS: exhaust ? 0 : gasAwayS,
    overloadS,
    warmS,
    sinceThrottledBackS,
  };
}

const doubt = {
  'stuck-on': 'running, but its exhaust gas stays cold',
  gas: 'stopped, but its exhaust gas is that of a running engine',
  elbow: 'stopped, but its elbow is hot or rises as no stopped engine’s does',
} as const;

/** The active conditions of the engine as a whole. */
export function engineConditions(
  settings: EngineSettings,
  state: EngineState,
  learnedMaxC: number | undefined,
): readonly Condition[] {
  const conditions: Condition[] = [];
  const engine = settings.id;
  const name = inWords(settings);
  const { exhaust, overloadS, run } = state;
  if (exhaust && learnedMaxC !== undefined && overloadS >= overloadHoldS)
    conditions.push({
      situation: 'load',
      subject: engine,
      rule: 'exhaust-above-learned',
      priority: 'caution',
      engine,
      message: `The exhaust gas of ${name} is at ${exhaust.a.toFixed(0)} C; in commissioning it never passed ${learnedMaxC.toFixed(0)} C.`,
      evidence: {
        values: { exhaustC: exhaust.a },
        thresholds: { exhaustC: learnedMaxC + overloadMoreK(learnedMaxC), holdS: overloadHoldS },
      },
    });
  if (run.disagreement)
    conditions.push({
      situation: 'running-input',
      subject: engine,
      rule: `running-input-${run.disagreement}`,
      priority: 'caution',
      engine,
      message: `The running input of ${name} says ${doubt[run.disagreement === 'stuck-on' ? 'stuck-on' : (run.deniedBy ?? 'gas')]}.`,
      evidence: {
        values: {
          ...(exhaust && { exhaustC: exhaust.a }),
          ...(run.rest && { lowestElbowC: run.rest.lowestC, highestElbowC: run.rest.highestC }),
          deniedS: run.deniedS,
        },
        thresholds: {},
      },
    });
  return conditions;
}
