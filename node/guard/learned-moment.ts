import {
  type Bin,
  binOf,
  coldWithinS,
  type ElbowBaseline,
  expectedRiseK,
  unknownSeaK,
  warmUpS,
} from './baseline.js';
import type { ElbowView } from './elbow-view.js';
import { type ExhaustMemory, isGasLost, isIdling } from './exhaust-memory.js';
import type { LearnedState, LearnedTuning } from './learned-state.js';
import { isSurgeOver, mayBeSurging } from './throttle-back-surge.js';
import type { OtherElbow } from './unsteady-threshold.js';

/** An elbow this far below its learned rise under load, K, within `coldWithinS` of the start, has a closed thermostat; and for so long after, s. */
const coldK = -2;
const coldLastsS = 180;
const mayOpen: ReadonlySet<Bin> = new Set(['steady', 'rising', 'rising-fast']);
/** Allowance for each K that gas and sea are beyond what was learned; the gas by the steepest elbows simulated, the sea by the damping of the fit. */
const gasBeyondShare = 0.1;
const seaBeyondShare = 0.15;

/** A view of a running engine in which the rise can be compared with the learned rise. */
export type ComparableView = ElbowView & { readonly seaC: number; readonly exhaust: ExhaustMemory };

/**
 * Whether the learned detector can compare the rise with what was learned: the engine runs, and sea and gas are known. Gas colder than a
 * running engine was ever seen to make is a lost probe, not a reason to expect no rise.
 */
export const isComparable = (view: ElbowView, { gasC }: ElbowBaseline): view is ComparableView =>
  view.phase === 'running' &&
  view.seaC !== undefined &&
  view.exhaust !== undefined &&
  !isGasLost(view.exhaust, gasC);

/** What the learned detector compares with: the baseline, and the other engine's elbow, absent where there is none or it cannot be judged. */
export type LearnedContext = {
  readonly baseline: ElbowBaseline;
  readonly other: OtherElbow | undefined;
  readonly tuning: LearnedTuning;
};

/** One elbow at one pass, against what was learned. */
export type LearnedMoment = LearnedContext & {
  readonly view: ComparableView;
  readonly bin: Bin;
  readonly riseK: number;
  readonly expectedK: number;
  /** The rise as its slope leads it, less the learned rise, K. */
  readonly residualK: number;
  /** The residual when the detector was armed: what a hot restart left in the elbow, K. */
  readonly soakK: number;
  /** Whether a throttle-back surge has passed, and whether one may hold the elbow up now. */
  readonly surgeOver: boolean;
  readonly surging: boolean;
  /** How much longer its thermostat counts as closed, s. */
  readonly coldS: number;
  /** Steady load, and no surge. */
  readonly steady: boolean;
  /** The threshold of this kind of moment, and the one of gas that moves so on a warm engine, K. */
  readonly usualK: number;
  readonly movingK: number;
  /** Allowance for gas and sea beyond what was learned, K. */
  readonly beyondK: number;
};

/** The threshold of moments whose led residual has this 99.8th percentile, K. */
export const thresholdK = (q998K: number, { leastK, spreadFactor, spreadMoreK }: LearnedTuning): number =>
  Math.max(leastK, spreadFactor * q998K + spreadMoreK);

export function learnedMoment(
  state: LearnedState,
  view: ComparableView,
  context: LearnedContext,
): LearnedMoment {
  const { baseline, tuning } = context;
  const { seaC, exhaust, sinceStartS, dtS } = view;
  const riseK = view.elbowC - seaC;
  const expectedK = expectedRiseK(baseline, exhaust, seaC);
  const surgeOver = isSurgeOver(state.surgeOver ?? false, view, riseK - expectedK);
  const surging = mayBeSurging(view, surgeOver);
  // The slope of a surge leads nowhere.
  const leadS = surging ? 0 : tuning.leadS[view.mounting];
  const residualK = riseK + leadS * view.slopeCPerS - expectedK;
  const justArmed = sinceStartS - dtS < tuning.graceS;
  const bin = binOf(exhaust, view.warmS);
  const thermostatClosed =
    !surging &&
    mayOpen.has(bin) &&
    !isIdling(exhaust, baseline.gasC) &&
    sinceStartS < coldWithinS &&
    state.meanK < coldK;
  return {
    ...context,
    view,
    bin,
    riseK,
    expectedK,
    residualK,
    soakK: justArmed ? Math.min(Math.max(0, residualK), tuning.mostSoakK) : state.soakK,
    surgeOver,
    surging,
    coldS: thermostatClosed ? coldLastsS : Math.max(0, (state.coldS ?? 0) - dtS),
    steady: bin === 'steady' && !surging,
    usualK: thresholdK(baseline.spread[bin].q998K, tuning),
    movingK: thresholdK(baseline.spread[binOf(exhaust, warmUpS)].q998K, tuning),
    beyondK:
      gasBeyondShare * Math.max(0, exhaust.a - baseline.gasC.max) +
      seaBeyondShare * unknownSeaK(baseline, seaC),
  };
}

/** How much of the allowance after a start is left, of what fades with this time constant. */
export const afterArming = ({ view, tuning }: LearnedMoment, fadesS: number): number =>
  Math.exp(-(view.sinceStartS - tuning.graceS) / fadesS);

/** The half-minute residual that the other engine's elbow shows too: sea and weather, not a failing pump, K. */
export const sharedMeanK = ({ other, tuning }: LearnedContext): number =>
  tuning.twinShare * Math.min(Math.max(0, other?.meanK ?? 0), tuning.twinClipK);
