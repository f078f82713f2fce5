import type { ExhaustMemory } from './exhaust-memory.js';
import { isFiring } from './exhaust-memory.js';

/**
 * Does the engine run? `unsure` is the honest answer without a running input: a stopped engine and an idling engine
 * without water look alike, so only the plain detector is armed then.
 */
export type RunPhase = 'stopped' | 'running' | 'unsure';

export type RunState = {
  readonly phase: RunPhase;
  /** How long the phase has lasted, s. */
  readonly forS: number;
  /** How long the exhaust gas has said otherwise than the input, s. */
  readonly deniedS: number;
  /** The input says stopped and the gas says it runs, or the other way round, for long enough to be told. */
  readonly disagreement: 'stuck-off' | 'stuck-on' | undefined;
};

export const firstRunState: RunState = { phase: 'unsure', forS: 0, deniedS: 0, disagreement: undefined };

/** Gas that says "running" against the input is believed after this long; "never warm" takes longer, keys are left on. */
export const stuckOffAfterS = 90;
export const stuckOnAfterS = 900;

export type RunSigns = {
  readonly wired: boolean;
  readonly input: boolean | undefined;
  readonly exhaust: ExhaustMemory | undefined;
  readonly dtS: number;
};

/** Joins the running input with the exhaust gas. A stuck input must not blind the guard. */
export function stepRunning(state: RunState, { wired, input, exhaust, dtS }: RunSigns): RunState {
  if (!wired || input === undefined) return inPhase(state, 'unsure', 0, dtS);
  const denied = input ? exhaust !== undefined && exhaust.a < 60 : exhaust !== undefined && isFiring(exhaust);
  const deniedS = denied ? state.deniedS + dtS : 0;
  if (!input && deniedS >= stuckOffAfterS) return inPhase(state, 'running', deniedS, dtS, 'stuck-off');
  if (input && deniedS >= stuckOnAfterS) return inPhase(state, 'running', deniedS, dtS, 'stuck-on');
  return inPhase(state, input ? 'running' : 'stopped', deniedS, dtS);
}

const inPhase = (
  state: RunState,
  phase: RunPhase,
  deniedS: number,
  dtS: number,
  disagreement?: RunState['disagreement'],
): RunState => ({ phase, forS: state.phase === phase ? state.forS + dtS : 0, deniedS, disagreement });
