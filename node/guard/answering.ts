import type { Condition } from '../alerts/condition.js';
import { allEngines } from '../kit/engines.js';
import { type ChannelState, slopeCPerS } from './channel-state.js';
import { hasAnswered } from './detached-probe.js';
import type { ElbowState } from './elbow.js';
import type { EngineState } from './engine.js';
import { surelyRuns } from './may-run.js';
import type { ProbeSettings } from './settings.js';

/**
 * Whether an elbow probe has lately shown that it answers its engine. At a steady load one that hangs in warm air, or
 * says the same whatever happens, looks like one that sits well; so it has to move now and then, and where no one moves
 * the throttle for hours, somebody is asked to.
 */
export type Answering = {
  /** Running time since it last did what neither air nor a stuck input does, s. */
  readonly unprovenS: number;
  /** How long it has been moving that fast, s. */
  readonly movesS: number;
  /** Where it was lately, with the slowest memory that is kept of the gas, C. */
  readonly memoryC: number | undefined;
};

export const answeringAtRest: Answering = { unprovenS: 0, movesS: 0, memoryC: undefined };

/** As in the judgement of a fallen probe: faster than the air of an engine room moves it, for so long. */
const movesCPerS = 0.1;
const movesHoldS = 2;
/**
 * Or it has to move with its gas: by so much, K, and this part of what the gas moved against the same memory of 110 s. On
 * simulated boats a change of throttle by a fifth moves an elbow by 0.06 to 0.07 of its gas, and the air by 0.01 to 0.02.
 */
const answersK = 1;
const answersPart = 0.04;
const gasMovesK = 15;
const memoryTauS = 110;
/**
 * A converter repeats one value while nothing happens, but water and load of a running engine are never at rest to the
 * last digit, 0.1 K, for so long. Judgement, no source.
 */
export const stillForS = 1200;

/** How long a probe may go without proof before it is asked for; after twice as long it counts as not seen, s. */
export const standardProofS = 7200;

type Seen = { readonly channel: ChannelState; readonly elbow: ElbowState | undefined };

/** Steps what is known of one probe. Counts only while its engine surely runs: at rest nothing has to move. */
export function stepAnswering(
  before: Answering,
  { channel, elbow }: Seen,
  engine: EngineState,
  dtS: number,
): Answering {
  const movesS = Math.abs(slopeCPerS(channel)) > movesCPerS ? before.movesS + dtS : 0;
  const memoryC = remember(before.memoryC, channel.fastC, dtS);
  const proven =
    movesS >= movesHoldS ||
    (elbow !== undefined && hasAnswered(elbow.seat)) ||
    followsGas(channel.fastC, memoryC, engine);
  const unprovenS = proven ? 0 : before.unprovenS + (surelyRuns(engine) ? dtS : 0);
  return { unprovenS, movesS, memoryC };
}

const remember = (memoryC: number | undefined, nowC: number | undefined, dtS: number): number | undefined =>
  nowC === undefined || memoryC === undefined
    ? nowC
    : memoryC + (nowC - memoryC) * (1 - Math.exp(-dtS / memoryTauS));

function followsGas(
  nowC: number | undefined,
  memoryC: number | undefined,
  { exhaust }: EngineState,
): boolean {
  if (nowC === undefined || memoryC === undefined || !exhaust) return false;
  const gasK = exhaust.a - exhaust.c;
  const elbowK = (nowC - memoryC) * Math.sign(gasK);
  return Math.abs(gasK) >= gasMovesK && elbowK >= answersK && elbowK >= answersPart * Math.abs(gasK);
}

/**
 * Whether it has said the very same, to the last digit, for too long on an engine that runs; or, where nothing says
 * whether it runs, while it is `warm`: an elbow that cools does not stay the same either.
 */
export const standsStill = (
  { still }: ChannelState,
  engine: EngineState,
  warm: boolean,
  nowMs: number,
): boolean =>
  still !== undefined &&
  (surelyRuns(engine) || (warm && engine.run.phase === 'unsure')) &&
  Math.min((nowMs - still.sinceMs) / 1000, engine.run.forS) > stillForS;

/** Asks for a change of throttle: sight only, until it has been asked in vain for as long again. */
export const unprovenProbe = (probe: ProbeSettings, { unprovenS }: Answering, proofS: number): Condition => ({
  situation: 'probe-fault',
  subject: probe.id,
  rule: 'probe-unproven',
  priority: 'caution',
  probe: probe.id,
  ...(probe.engine !== allEngines && { engine: probe.engine }),
  message: `${probe.name} has had nothing to answer for ${(proofS / 3600).toFixed(1)} h of running, so it cannot be known whether it still sits on its elbow: change the throttle.`,
  evidence: { values: { unprovenS }, thresholds: { unprovenS: proofS } },
});
