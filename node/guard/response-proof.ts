import type { Condition } from '../alerts/condition.js';
import { allEngines } from '../kit/engines.js';
import { type ChannelState, slopeCPerS } from './channel-state.js';
import { hasResponded } from './detached-probe.js';
import type { ElbowState } from './elbow.js';
import type { EngineState } from './engine.js';
import { surelyRuns } from './may-run.js';
import type { ProbeSettings } from './settings.js';

/**
 * Whether an elbow probe has recently responded to its engine. At a steady load one that hangs in warm air, or whose input is
 * stuck, looks like one that is attached; so its reading has to change now and then. Where no one moves the throttle for hours,
 * an alert asks for it.
 */
export type ResponseProof = {
  /** Running time since it last changed as neither air nor a stuck input does, s. */
  readonly unprovenS: number;
  /** How long it has been changing that fast, s. */
  readonly movesS: number;
  /** Its recent average, with the time constant of the slowest memory of the gas, C. */
  readonly memoryC: number | undefined;
};

export const noResponseYet: ResponseProof = { unprovenS: 0, movesS: 0, memoryC: undefined };

/** As for a detached probe: faster than the air of an engine room changes it, for so long. */
const movesCPerS = 0.1;
const movesHoldS = 2;
/**
 * Or it has to move with its gas: by so much, K, and this part of what the gas moved against the same memory of 110 s. On
 * simulated boats a change of throttle by a fifth moves an elbow by 0.06 to 0.07 of its gas, and the air by 0.01 to 0.02.
 */
const respondsK = 1;
const respondsShare = 0.04;
const gasMovesK = 15;
const memoryTauS = 110;
/**
 * A converter repeats one value while nothing happens, but water and load of a running engine are never at rest to the
 * last digit, 0.1 K, for so long. Judgement, no source.
 */
export const unchangedForS = 1200;

/** How long a probe may go without proof before an alert asks for it; after twice as long the probe shows nothing, s. */
export const standardProofS = 7200;

type Seen = { readonly channel: ChannelState; readonly elbow: ElbowState | undefined };

/** Counts only while the engine surely runs: at rest no reading has to change. */
export function stepResponseProof(
  before: ResponseProof,
  { channel, elbow }: Seen,
  engine: EngineState,
  dtS: number,
): ResponseProof {
  const movesS = Math.abs(slopeCPerS(channel)) > movesCPerS ? before.movesS + dtS : 0;
  const memoryC = remember(before.memoryC, channel.fastC, dtS);
  const proven =
    movesS >= movesHoldS ||
    (elbow !== undefined && hasResponded(elbow.attachment)) ||
    respondsToGas(channel.fastC, memoryC, engine);
  const unprovenS = proven ? 0 : before.unprovenS + (surelyRuns(engine) ? dtS : 0);
  return { unprovenS, movesS, memoryC };
}

const remember = (memoryC: number | undefined, nowC: number | undefined, dtS: number): number | undefined =>
  nowC === undefined || memoryC === undefined
    ? nowC
    : memoryC + (nowC - memoryC) * (1 - Math.exp(-dtS / memoryTauS));

function respondsToGas(
  nowC: number | undefined,
  memoryC: number | undefined,
  { exhaust }: EngineState,
): boolean {
  if (nowC === undefined || memoryC === undefined || !exhaust) return false;
  const gasK = exhaust.a - exhaust.c;
  const elbowK = (nowC - memoryC) * Math.sign(gasK);
  return Math.abs(gasK) >= gasMovesK && elbowK >= respondsK && elbowK >= respondsShare * Math.abs(gasK);
}

/**
 * Whether the reading has not changed, to the last digit, for too long on a running engine; or, where nothing shows whether it runs,
 * while the elbow is `warm`: an elbow that cools does not stay the same either.
 */
export const isUnchangedTooLong = (
  { unchanged }: ChannelState,
  engine: EngineState,
  warm: boolean,
  nowMs: number,
): boolean =>
  unchanged !== undefined &&
  (surelyRuns(engine) || (warm && engine.run.phase === 'unsure')) &&
  Math.min((nowMs - unchanged.sinceMs) / 1000, engine.run.forS) > unchangedForS;

/** Asks for a change of throttle. It is shown and does not sound; once it has been shown for as long again without an answer, the probe counts as lost. */
export const unprovenProbe = (
  probe: ProbeSettings,
  { unprovenS }: ResponseProof,
  proofS: number,
): Condition => ({
  situation: 'probe-fault',
  subject: probe.id,
  rule: 'probe-unproven',
  priority: 'caution',
  probe: probe.id,
  ...(probe.engine !== allEngines && { engine: probe.engine }),
  message: `${probe.name} has had nothing to answer for ${(proofS / 3600).toFixed(1)} h of running, so it cannot be known whether it still sits on its elbow: change the throttle.`,
  evidence: { values: { unprovenS }, thresholds: { unprovenS: proofS } },
});
