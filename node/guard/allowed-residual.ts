import { besideTwinK } from './beside-twin.js';
import type { ColdIdle } from './cold-idle.js';
import { isSteady, risesNow } from './exhaust-memory.js';
import { afterArming, type LearnedMoment, sharedMeanK, thresholdK } from './learned-moment.js';
import { isDrivenAlike, unsteadyThresholdK } from './unsteady-threshold.js';

/** The allowance after a start fades with this time constant, s. */
const startFadesS = 40;

/**
 * The highest led residual that heat stored after a start, the other engine's elbow or the kind of moment explains, K. `coldIdle` is what
 * was learned of a cold engine that idles, while this is one.
 */
export function allowedResidualK(moment: LearnedMoment, coldIdle: ColdIdle | undefined): number {
  const { view, baseline, other, tuning, soakK, surging, coldS, steady, usualK, movingK, expectedK } = moment;
  const { exhaust } = view;
  const twinNowK = isDrivenAlike(exhaust, other) ? Math.min(other.residualK, tuning.twinNowClipK) : 0;
  const sharedK = Math.max(sharedMeanK(moment), tuning.twinShare * twinNowK);
  const startK = (tuning.afterStartK + soakK) * afterArming(moment, startFadesS);
  // A twin whose thermostat closed earlier proves nothing during a surge.
  const comparedWith = surging ? undefined : other;
  const excusedK =
    unexcusedK(moment) ??
    unsteadyThresholdK({ usualK, movingK, expectedK, exhaust, baseline, other: comparedWith });
  // Cold starts that commissioning met without their water excuse no more than other moments do.
  const coldIdleK = coldIdle ? thresholdK(coldIdle.q998K, tuning) : Number.POSITIVE_INFINITY;
  const momentK = Math.min(coldIdleK, excusedK) + startK + moment.beyondK;
  const apartK = surging
    ? undefined
    : besideTwinK({ view, exhaust, baseline, other, steady, cold: coldS > 0, usualK }, (q998K) =>
        thresholdK(q998K, tuning),
      );
  return Math.min(sharedK + momentK, apartK === undefined ? Number.POSITIVE_INFINITY : apartK + startK);
}

/** The threshold where no stored heat excuses a rise, K: steady, or falling after a surge; undefined elsewhere. */
function unexcusedK(moment: LearnedMoment): number | undefined {
  const { bin, baseline, tuning, surging, coldS, steady, usualK } = moment;
  const { exhaust } = moment.view;
  // Gas below its slow memory that rises again is that of a throttle which was opened.
  const falls = (bin === 'falling' || bin === 'falling-fast') && !surging && !risesNow(exhaust);
  if (falls && baseline.afterSurgeK !== undefined) return thresholdK(baseline.afterSurgeK, tuning);
  return steady && isSteady(exhaust) && coldS === 0 ? usualK : undefined;
}
