import type { ExhaustMemory } from './exhaust-memory.js';
import { fallsAsMetal, isCold, isFalling, isFiring, isHeld, isRising } from './exhaust-memory.js';
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
  /** The input says stopped and the exhaust says it runs, or the other way round, for long enough to be reported. */
  readonly disagreement: 'stuck-off' | 'stuck-on' | undefined;
  /** What denied a stopped input; remembered until the input says running, for then it works, or the gas is cold. */
  readonly deniedBy: 'gas' | 'elbow' | undefined;
  /** How long nothing has been heard of a wired input, s. */
  readonly silentS: number;
  /** The elbow since the input says stopped. */
  readonly rest: Rest | undefined;
  /** Since the input was seen to go from running to stopped, s; undefined while it runs or where that was not seen. */
  readonly seenOffS: number | undefined;
  /** The last level that was heard of the input. */
  readonly wasOn: boolean;
  /** How long the gas has fallen as cooling metal does, s. */
  readonly coolingS: number;
  /** The input says running and the gas does not contradict: only such seconds show what is normal. */
  readonly sure: boolean;
};

export const firstRunState: RunState = {
  phase: 'unsure',
  forS: 0,
  deniedS: 0,
  disagreement: undefined,
  deniedBy: undefined,
  silentS: 0,
  rest: undefined,
  seenOffS: undefined,
  wasOn: false,
  coolingS: 0,
  sure: false,
};

/**
 * An input that was seen to work, on and then off, is believed for this long against gas that merely stays warm. The
 * metal around a gas probe takes 8 to 60 minutes to cool by 63 % (common practice, no source), and until then it can
 * hold the probe above 220 C as steadily as a running engine. The price is a wire that breaks under way: then only the
 * elbow, and gas that rises as no metal warms, show for half an hour that the engine still runs.
 */
export const offBelievedForS = 1800;
/**
 * Gas that runs ahead of its 22 s memory by more than this rises faster than metal can warm a probe: a probe that was
 * cooled by idling gas comes up to metal 130 K hotter with 60 to 120 s, 18 to 25 K ahead. Simulated, no source.
 */
const fasterThanMetalK = 30;
/** Gas that fell for this long without a break: no engine is run so, and what it had said before was metal. */
const metalAfterS = 600;
/** So long it must fall for a slow rise of the elbow to be taken for heat soak, s. */
export const metalShowsS = 60;
/** What gas showed before is believed over a gap this long, as of a loose connection, s. */
const gapS = 15;
/** A gas probe this cold, this long after a start, belongs to an engine that does not run, C and s. */
const coldGasC = 60;
const warmsWithinS = 120;

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

/**
 * Joins all signs of whether the engine runs: the input and its history, the gas, and the elbow. A stuck input must
 * not blind the guard, and warm metal must not make a stopped engine look like one that lost its water.
 */
export function stepRunning(state: RunState, signs: RunSigns): RunState {
  const { wired, input, exhaust, dtS } = signs;
  if (!wired) return inPhase(state, 'unsure', dtS, { seenOffS: undefined });
  if (input === undefined) {
    const silentS = state.silentS + dtS;
    if (silentS <= silentForS) return { ...state, forS: state.forS + dtS, silentS };
    const { deniedBy, rest, wasOn } = state;
    const seenOffS = state.seenOffS === undefined ? undefined : state.seenOffS + dtS;
    return inPhase(state, 'unsure', dtS, { silentS, deniedBy, rest, wasOn, seenOffS });
  }
  if (!input) return whileStopped({ ...state, silentS: 0 }, signs);
  const cold = exhaust !== undefined && exhaust.a < coldGasC;
  const deniedS = cold ? state.deniedS + dtS : 0;
  const disagreement = deniedS >= stuckOnAfterS ? 'stuck-on' : undefined;
  return inPhase(state, 'running', dtS, {
    deniedS,
    disagreement,
    wasOn: true,
    sure: deniedS < warmsWithinS,
  });
}

function whileStopped(state: RunState, { exhaust, elbow, dtS }: RunSigns): RunState {
  const seenOffS = state.wasOn ? 0 : state.seenOffS === undefined ? undefined : state.seenOffS + dtS;
  const believed = seenOffS !== undefined && seenOffS < offBelievedForS;
  const coolingS = exhaust
    ? fallsAsMetal(exhaust)
      ? state.coolingS + dtS
      : 0
    : Math.max(0, Math.min(state.coolingS, metalShowsS + gapS) - dtS);
  const ranBefore = state.phase === 'running';
  const rest = elbow
    ? stepRest(state.rest, elbow, ranBefore, dtS, coolingS >= metalShowsS, believed)
    : state.rest;
  // Gas that has gone cold, or that cools as metal does, takes back what gas has said.
  const metal = coolingS >= metalAfterS || (exhaust !== undefined && isCold(exhaust));
  const says = exhaust && !metal ? saidByGas(exhaust, state.forS, believed) : undefined;
  const deniedS = says ? state.deniedS + dtS : 0;
  const before = state.deniedBy === 'gas' && metal ? undefined : state.deniedBy;
  const deniedBy =
    before ??
    (says && deniedS >= deniedAfterS[says] ? 'gas' : rest && deniesRest(rest) ? 'elbow' : undefined);
  const kept = { deniedS, deniedBy, rest, seenOffS, coolingS };
  if (!deniedBy) return inPhase(state, 'stopped', dtS, kept);
  const firing = exhaust !== undefined && isFiring(exhaust) && !isFalling(exhaust);
  return inPhase(state, firing ? 'running' : 'unsure', dtS, { ...kept, disagreement: 'stuck-off' });
}

type GasSays = 'rising' | 'firing' | 'held';
const deniedAfterS: Readonly<Record<GasSays, number>> = {
  rising: risingAfterS,
  firing: stuckOffAfterS,
  held: heldAfterS,
};

/** What in the gas contradicts an input that says stopped; `believed` while that input was lately seen to work. */
function saidByGas(exhaust: ExhaustMemory, stoppedForS: number, believed: boolean): GasSays | undefined {
  const aheadK = exhaust.a - exhaust.b;
  if (isRising(exhaust) && stoppedForS > memoryCatchesUpS && (!believed || aheadK > fasterThanMetalK))
    return 'rising';
  if (believed) return undefined;
  if (isFiring(exhaust) && !isFalling(exhaust)) return 'firing';
  return isHeld(exhaust) ? 'held' : undefined;
}

type Kept = Partial<Omit<RunState, 'phase' | 'forS'>>;

/** The next state in this phase; what is not named is as at the beginning. */
const inPhase = (state: RunState, phase: RunPhase, dtS: number, kept: Kept): RunState => ({
  ...firstRunState,
  ...kept,
  phase,
  forS: state.phase === phase ? state.forS + dtS : 0,
});
