import { type Bin, coldWithinS, type ElbowBaseline, settledS } from './baseline.js';
import type { ElbowView } from './elbow-view.js';
import { type ExhaustMemory, isLevel } from './exhaust-memory.js';
import type { LearnedState, LearnedTuning } from './learned-state.js';
import { isDrivenAlike, type OtherElbow } from './unsteady-threshold.js';

/** Whether moments such as this one count: an engine that has warmed through, under level gas. */
export const isLevelMoment = (exhaust: ExhaustMemory, bin: Bin): boolean =>
  bin !== 'warm-up' && isLevel(exhaust);

/** From then on a level moment counts, s. */
export const levelAfterS = settledS;

type Moment = {
  readonly view: ElbowView;
  readonly exhaust: ExhaustMemory;
  readonly baseline: ElbowBaseline;
  readonly bin: Bin;
  readonly other: OtherElbow | undefined;
  /** Led residual of now, K. */
  readonly residualK: number;
  /** Whether heat that is stored may move the elbow now. */
  readonly excused: boolean;
  readonly tuning: LearnedTuning;
};

type Change = Required<Pick<LearnedState, 'levelS' | 'changeKS'>> & {
  readonly changeK: number;
  readonly limitK: number;
};

/**
 * The sum of how far the residual leaves its mean of before, beyond what is normal and what a twin driven alike
 * shows too. Not of a well: it feels every slug of warm water as a thermostat opens, which the metal below a ring smooths, and is quick
 * enough without.
 */
export function stepLevelChange(
  state: LearnedState,
  { view, exhaust, baseline, bin, other, residualK, excused, tuning }: Moment,
): Change {
  const { dtS, sinceStartS, mounting } = view;
  const levelS = isLevelMoment(exhaust, bin) && !excused ? (state.levelS ?? 0) + dtS : 0;
  const changeK = residualK - state.meanK;
  const { levelChange } = baseline;
  if (!levelChange || levelS <= levelAfterS || mounting === 'well')
    return { levelS, changeKS: 0, changeK, limitK: Number.POSITIVE_INFINITY };
  const spreadK = bin === 'steady' && sinceStartS > coldWithinS ? levelChange.steadyK : levelChange.settlingK;
  // Without a twin a front in the sea, which its probe feels late, looks alike.
  const leastK = other === undefined ? tuning.leastK : tuning.leastChangeK;
  const limitK = Math.max(leastK, tuning.spreadFactor * spreadK + tuning.spreadMoreK);
  const sharedK = isDrivenAlike(exhaust, other)
    ? tuning.twinShare * Math.min(Math.max(0, other.residualK - other.meanK), tuning.twinNowClipK)
    : 0;
  const { capK } = tuning.cusum[mounting];
  const addedKS = Math.min(changeK - sharedK - limitK, capK) * dtS;
  return { levelS, changeKS: Math.min(100, Math.max(0, (state.changeKS ?? 0) + addedKS)), changeK, limitK };
}
