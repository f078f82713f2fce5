import { coldWithinS, meanTauS, openingMoreK, settledS } from './baseline.js';
import { isLevel } from './exhaust-memory.js';
import { afterArming, type LearnedMoment, sharedMeanK } from './learned-moment.js';
import type { LearnedState } from './learned-state.js';
import { isDrivenAlike } from './unsteady-threshold.js';

const steadyHoldS = 30;
/** What a hot restart left in coolant and metal warms the elbow of an idling engine for minutes: the mean forgets it with this, s. */
export const soakFadesS = 150;
/** More than the limit of steady running, K, where only the slow memory of the gas still rises. */
const risingMoreK = 2;
/** A thermostat that hunts made half-minute means of 2 K and more in an hour of commissioning; in a season one of them lasts up to so long, s. */
const huntsFromK = 2;
const huntingHoldS = 60;
/** The limit of the mean: these parts of the learned spread and of the learned highest mean, and so much more, K. */
const ofSpread = { share: 0.6, moreK: 0.4 } as const;
const ofHighestMean = { share: 1.3, moreK: 0.5 } as const;

type SteadyMean = Pick<LearnedState, 'meanK' | 'steadyS' | 'overS'> & {
  readonly limitK: number;
  /** Whether the mean has been above its limit for long enough to be reported. */
  readonly lasts: boolean;
};

/** The half-minute mean of the residual, and how long it has been too high in steady running: a loss that is too small for the sum. */
export function stepSteadyMean(state: LearnedState, moment: LearnedMoment): SteadyMean {
  const { view, bin, baseline, other, tuning, residualK, soakK, surging, steady, beyondK, coldS } = moment;
  const { exhaust, sinceStartS, dtS } = view;
  const meanK = state.meanK + (residualK - state.meanK) * (1 - Math.exp(-dtS / meanTauS));
  // Gas that has risen and is level is as good as steady, where a twin is driven alike.
  const levelled = bin === 'rising' && !surging && isLevel(exhaust) && isDrivenAlike(exhaust, other);
  const limitK =
    Math.max(
      other === undefined ? tuning.steadySingleK : tuning.steadyTwinK,
      ofSpread.share * baseline.spread.steady.q998K + ofSpread.moreK + beyondK,
      // A thermostat that hunts makes means of its own.
      ofHighestMean.share * (baseline.steadyMeanK ?? 0) + ofHighestMean.moreK + beyondK,
    ) +
    (levelled ? (sinceStartS < coldWithinS ? openingMoreK : risingMoreK) : 0) +
    soakK * afterArming(moment, soakFadesS);
  const steadyS = steady || levelled ? state.steadyS + dtS : 0;
  const over = coldS === 0 && steadyS > settledS && meanK - sharedMeanK(moment) > limitK;
  const overS = over ? state.overS + dtS : 0;
  const holdS = (baseline.steadyMeanK ?? 0) > huntsFromK ? huntingHoldS : steadyHoldS;
  return { meanK, steadyS, overS, limitK, lasts: overS >= holdS };
}
