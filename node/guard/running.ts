import type { ExhaustMemory } from './exhaust-memory.js';
import { isCold, isFalling, isFiring, isHeld, isRising } from './exhaust-memory.js';
import { deniesRest, type ElbowSign, type Rest, stepRest } from './rest.js';

/**
 * Does the engine run? `unsure` is the honest answer without a running input: a stopped engine and an idling engine
 * without water look alike, so only the plain detector and the kit's own limits are armed then.
 */
export type RunPhase = 'stopped' | 'running' | 'unsure';

export type RunState = {
  readonly phase: RunPhase;
  /** How long the phase has lasted, s. */
  readonly forS: number;
  /** How long the exhaust gas has said otherwise than the input, s. */
  readonly deniedS: number;
  /** The input says stopped and the exhaust says it runs, or the other way round, for long enough to be told. */
  readonly disagreement: 'stuck-off' | 'stuck-on' | undefined;
  /** What denied a stopped input; remembered until the input says running, for then it works, or the gas is cold. */
  readonly deniedBy: 'gas' | 'elbow' | undefined;
  /** How long nothing has been heard of a wired input, s. */
  readonly silentS: number;
  /** The elbow since the input says stopped. */
  readonly rest: Rest | undefined;
};

export const firstRunState: RunState = {
  phase: 'unsure',
  forS: 0,
  deniedS: 0,
  disagreement: undefined,
  deniedBy: undefined,
  silentS: 0,
  rest: undefined,
};

/** Gas that says "running" against the input is believed after this long; "never warm" takes longer, keys are left on. */
export const stuckOffAfterS = 90;
export const stuckOnAfterS = 900;
/** Gas that is not hot but neither falls, and gas that rises: a stopped engine's does neither for so long. */
const heldAfterS = 300;
const risingAfterS = 5;
/** Just after a stop the memory of the gas still goes where the gas was going. */
const memoryCatchesUpS = 30;
/** A board that blinks takes its inputs along; for this long they are taken to be as they were. */
const silentForS = 5;

export type RunSigns = {
  readonly wired: boolean;
  readonly input: boolean | undefined;
  readonly exhaust: ExhaustMemory | undefined;
  /** The hottest believed elbow of the engine. */
  readonly elbow?: ElbowSign | undefined;
  readonly dtS: number;
};

/** Joins the running input with exhaust gas and elbow. A stuck input must not blind the guard. */
export function stepRunning(state: RunState, signs: RunSigns): RunState {
  const { wired, input, exhaust, dtS } = signs;
  if (!wired) return inPhase(state, 'unsure', dtS, { deniedS: 0, silentS: 0 });
  if (input === undefined) {
    const silentS = state.silentS + dtS;
    if (silentS <= silentForS) return { ...state, forS: state.forS + dtS, silentS };
    return inPhase(state, 'unsure', dtS, { ...state, disagreement: undefined, deniedS: 0, silentS });
  }
  if (!input) return whileStopped({ ...state, silentS: 0 }, signs);
  const deniedS = exhaust !== undefined && exhaust.a < 60 ? state.deniedS + dtS : 0;
  const disagreement = deniedS >= stuckOnAfterS ? 'stuck-on' : undefined;
  return inPhase(state, 'running', dtS, { deniedS, disagreement, silentS: 0 });
}

function whileStopped(state: RunState, { exhaust, elbow, dtS }: RunSigns): RunState {
  const rest = elbow ? stepRest(state.rest, elbow, state.phase === 'running', dtS) : state.rest;
  const firing = exhaust !== undefined && isFiring(exhaust) && !isFalling(exhaust);
  const rising = exhaust !== undefined && isRising(exhaust) && state.forS > memoryCatchesUpS;
  const denied = firing || rising || (exhaust !== undefined && isHeld(exhaust));
  const deniedS = denied ? state.deniedS + dtS : 0;
  const afterS = rising ? risingAfterS : firing ? stuckOffAfterS : heldAfterS;
  // Gas that has gone cold takes back what gas has said: then the engine has stopped indeed.
  const before = state.deniedBy === 'gas' && exhaust && isCold(exhaust) ? undefined : state.deniedBy;
  const deniedBy =
    before ?? (denied && deniedS >= afterS ? 'gas' : rest && deniesRest(rest) ? 'elbow' : undefined);
  const kept = { deniedS, deniedBy, rest, silentS: 0 };
  if (!deniedBy) return inPhase(state, 'stopped', dtS, kept);
  return inPhase(state, firing ? 'running' : 'unsure', dtS, { ...kept, disagreement: 'stuck-off' });
}

type Kept = Pick<RunState, 'deniedS' | 'silentS'> &
  Partial<Pick<RunState, 'disagreement' | 'deniedBy' | 'rest'>>;

const inPhase = (
  state: RunState,
  phase: RunPhase,
  dtS: number,
  { deniedS, silentS, disagreement, deniedBy, rest }: Kept,
): RunState => ({
  phase,
  forS: state.phase === phase ? state.forS + dtS : 0,
  deniedS,
  silentS,
  disagreement,
  deniedBy,
  rest,
});
