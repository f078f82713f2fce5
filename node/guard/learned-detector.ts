import {
  type Bin,
  binOf,
  coldWithinS,
  type ElbowBaseline,
  expectedRiseK,
  meanTauS,
  openingMoreK,
  settledS,
  unknownSeaK,
  warmUpS,
} from './baseline.js';
import { besideTwinK } from './beside-twin.js';
import type { ColdIdle } from './cold-idle.js';
import { type ElbowView, inThrottleBackSurge, secondsTo } from './elbow-view.js';
import { isGasLost, isIdling, isLevel, isSteady } from './exhaust-memory.js';
import type { Finding, Judged } from './finding.js';
import { type LearnedState, type LearnedTuning, learnedAtRest } from './learned-state.js';
import { stepLevelChange } from './level-change.js';
import { cooledCPerS } from './soak-allowance.js';
import { isSurgeOver, mayBeSurging } from './throttle-back-surge.js';
import { isDrivenAlike, type OtherElbow, unsteadyThresholdK } from './unsteady-threshold.js';

const fallingCPerS = -0.04;
const alarmHoldS = 1.5;
const steadyHoldS = 30;
/** The sum that raises while a surge of warm water lasts, K s: it passes its top within that, and an elbow without water does not. */
const surgeLimitKS = { 'strap-on': 20, well: 60, free: 60 } as const;
/** A surge of a healthy engine passed the highest normal rise by 6 to 11 K: an alarm needs so much more while one may last, K. */
const surgeAlarmMoreK = 10;
/** What a hot restart left in coolant and metal warms the elbow of an idling engine for minutes: the mean forgets it with this, s. */
const soakFadesS = 150;
/** An elbow this far below what was learned under load, K, within `coldWithinS` of the start, has a closed thermostat; and for so long after, s. */
const coldK = -2;
const coldLastsS = 180;
const mayOpen: ReadonlySet<Bin> = new Set(['steady', 'rising', 'rising-fast']);
/** More than the limit of steady running, K, where only the slow memory of the gas still rises. */
const risingMoreK = 2;
/** A residual this far below its highest of late recovers, K; and how fast that is forgotten, s. */
const recoversK = 1;
const peakFadesS = 20;
/** A thermostat that hunts made half-minute means of 2 K and more in an hour of commissioning; in a season one of them lasts up to so long, s. */
const huntsFromK = 2;
const huntingHoldS = 60;
const ceilingHoldS = 8;
/** Allowance for each K that gas and sea are beyond what was learned; the gas by the steepest elbows simulated, the sea by the damping of the fit. */
const gasBeyondShare = 0.1;
const seaBeyondShare = 0.15;

/**
 * Residual of the rise over the sea against what commissioning learned, led by the slope: y + lead x slope - sea - f.
 * Armed only while the engine surely runs. `other` is the other engine's elbow, absent when there is
 * none or it cannot be judged: what both share is sea and weather, not a failing pump. `coldIdle` is what was learned of a cold engine
 * that idles, while this is one.
 */
export function stepLearned(
  state: LearnedState,
  view: ElbowView,
  baseline: ElbowBaseline,
  other: OtherElbow | undefined,
  tuning: LearnedTuning,
  coldIdle?: ColdIdle,
): Judged<LearnedState> {
  const { seaC, exhaust, dtS, slopeCPerS: slope } = view;
  if (view.phase !== 'running' || seaC === undefined || view.sinceStartS < tuning.graceS)
    return { state: learnedAtRest, finding: undefined };
  const riseK = view.elbowC - seaC;
  // Gas colder than a running engine was ever seen to make is a lost probe, not a reason to expect no rise.
  if (!exhaust || isGasLost(exhaust, baseline.gasC)) return stepCeiling(riseK, baseline, state, dtS);

  const expectedK = expectedRiseK(baseline, exhaust, seaC);
  // Slopes prove nothing so long, nor does a twin whose thermostat closed earlier.
  const surgeOver = isSurgeOver(state.surgeOver ?? false, view, riseK - expectedK);
  const surge = mayBeSurging(view, surgeOver);
  const leadS = surge ? 0 : tuning.leadS[view.mounting];
  const residualK = riseK + leadS * slope - expectedK;
  const sharedMeanK = tuning.twinShare * Math.min(Math.max(0, other?.meanK ?? 0), tuning.twinClipK);
  const twinNowK = isDrivenAlike(exhaust, other) ? Math.min(other.residualK, tuning.twinNowClipK) : 0;
  const sharedK = Math.max(sharedMeanK, tuning.twinShare * twinNowK);
  const justArmed = view.sinceStartS - dtS < tuning.graceS;
  const soakK = justArmed ? Math.min(Math.max(0, residualK), tuning.mostSoakK) : state.soakK;
  const bin = binOf(exhaust, view.warmS);
  const thresholdOf = (q998K: number) =>
    Math.max(tuning.leastK, tuning.spreadFactor * q998K + tuning.spreadMoreK);
  const usualK = thresholdOf(baseline.spread[bin].q998K);
  const movingK = thresholdOf(baseline.spread[binOf(exhaust, warmUpS)].q998K);
  const beyondK =
    gasBeyondShare * Math.max(0, exhaust.a - baseline.gasC.max) +
    seaBeyondShare * unknownSeaK(baseline, seaC);
  const steady = bin === 'steady' && !surge;
  const coldS =
    !surge &&
    mayOpen.has(bin) &&
    !isIdling(exhaust, baseline.gasC) &&
    view.sinceStartS < coldWithinS &&
    state.meanK < coldK
      ? coldLastsS
      : Math.max(0, (state.coldS ?? 0) - dtS);
  const falls = (bin === 'falling' || bin === 'falling-fast') && !surge;
  // Where no stored heat excuses a rise: steady, or falling after the surge.
  const unexcusedK = coldIdle
    ? thresholdOf(coldIdle.q998K)
    : falls && baseline.afterSurgeK !== undefined
      ? thresholdOf(baseline.afterSurgeK)
      : steady && isSteady(exhaust) && coldS === 0
        ? usualK
        : undefined;
  const startK = (tuning.afterStartK + soakK) * Math.exp(-(view.sinceStartS - tuning.graceS) / 40);
  const k =
    (unexcusedK ??
      unsteadyThresholdK({
        usualK,
        movingK,
        expectedK,
        exhaust,
        baseline,
        other: surge ? undefined : other,
      })) +
    startK +
    beyondK;
  const apartK = surge
    ? undefined
    : besideTwinK({ view, exhaust, baseline, other, steady, cold: coldS > 0, usualK }, thresholdOf);
  const excessK =
    residualK - Math.min(sharedK + k, apartK === undefined ? Number.POSITIVE_INFINITY : apartK + startK);
  const { limitKS: usualLimitKS, growingKS, capK } = tuning.cusum[view.mounting];
  const peakK = Math.max(residualK, (state.peakK ?? 0) * Math.exp(-dtS / peakFadesS));
  // Water that comes back after a gulp of air lets the residual fall, and that is waited for; so is a thermostat that after a closed
  // throttle opens once more.
  const grows = !inThrottleBackSurge(view) && residualK >= peakK - recoversK;
  const limitKS = surge ? surgeLimitKS[view.mounting] : grows ? growingKS : usualLimitKS;
  // However warm it was soaked: what falls so fast after a start is reached by its water.
  const cooled = view.sinceStartS < 2 * soakFadesS && slope < -cooledCPerS;
  const easing = cooled || (slope < fallingCPerS && residualK < 25);
  const cusumKS = easing
    ? Math.min(state.cusumKS, surge ? limitKS : growingKS)
    : Math.min(100, Math.max(0, state.cusumKS + Math.min(excessK, capK) * dtS));
  const change = stepLevelChange(state, {
    view,
    exhaust,
    baseline,
    bin,
    other,
    residualK,
    excused: surge || coldS > 0,
    tuning,
  });
  const meanK = state.meanK + (residualK - state.meanK) * (1 - Math.exp(-dtS / meanTauS));
  // Gas that has risen and is level is as good as steady, where a twin is driven alike.
  const levelled = bin === 'rising' && !surge && isLevel(exhaust) && isDrivenAlike(exhaust, other);
  const steadyLimitK =
    Math.max(
      other === undefined ? tuning.steadySingleK : tuning.steadyTwinK,
      0.6 * baseline.spread.steady.q998K + 0.4 + beyondK,
      // A thermostat that hunts makes means of its own.
      1.3 * (baseline.steadyMeanK ?? 0) + 0.5 + beyondK,
    ) +
    (levelled ? (view.sinceStartS < coldWithinS ? openingMoreK : risingMoreK) : 0) +
    soakK * Math.exp(-(view.sinceStartS - tuning.graceS) / soakFadesS);
  const steadyS = steady || levelled ? state.steadyS + dtS : 0;
  const overS =
    coldS === 0 && steadyS > settledS && meanK - sharedMeanK > steadyLimitK ? state.overS + dtS : 0;
  const steadyForS = (baseline.steadyMeanK ?? 0) > huntsFromK ? huntingHoldS : steadyHoldS;
  const lasts = overS >= steadyForS;
  const warned = cusumKS > limitKS;
  const warms = change.changeKS > limitKS;
  const grave =
    (warned || lasts) &&
    (residualK > tuning.alarmK + (surge ? surgeAlarmMoreK : 0) ||
      (slope > tuning.alarmCPerS && !surge && secondsTo(view, 82) < 60));
  const next: LearnedState = {
    cusumKS,
    meanK,
    steadyS,
    overS,
    alarmS: grave ? state.alarmS + dtS : 0,
    ceilingS: 0,
    soakK,
    residualK,
    coldS,
    peakK,
    surgeOver,
    levelS: change.levelS,
    changeKS: change.changeKS,
  };
  const found = (rule: Finding['rule'], priority: Finding['priority']) => ({
    state: next,
    finding: {
      rule,
      priority,
      values: {
        temperatureC: view.elbowC,
        riseOverSeaK: riseK,
        expectedRiseK: expectedK,
        residualK,
        ...(rule === 'warms-at-level-gas' && { changeK: change.changeK }),
        riseCPerS: slope,
        exhaustC: exhaust.a,
      },
      thresholds:
        rule === 'above-learned'
          ? { residualK: residualK - excessK, sumKS: limitKS }
          : rule === 'warms-at-level-gas'
            ? { changeK: change.limitK, sumKS: limitKS }
            : { meanResidualK: steadyLimitK },
    },
  });
  if (next.alarmS >= alarmHoldS) return found(warned ? 'above-learned' : 'above-learned-steady', 'alarm');
  if (warned) return found('above-learned', 'warning');
  if (lasts) return found('above-learned-steady', 'warning');
  if (warms) return found('warms-at-level-gas', 'warning');
  return { state: next, finding: undefined };
}

/** Exhaust gas lost: what is left is the highest rise that normal running ever showed. */
function stepCeiling(
  riseK: number,
  baseline: ElbowBaseline,
  state: LearnedState,
  dtS: number,
): Judged<LearnedState> {
  const limitK = baseline.highestRiseK + 4;
  const ceilingS = riseK > limitK ? state.ceilingS + dtS : 0;
  const finding: Finding | undefined =
    ceilingS < ceilingHoldS
      ? undefined
      : {
          rule: 'above-learned-ceiling',
          priority: 'warning',
          values: { riseOverSeaK: riseK },
          thresholds: { riseOverSeaK: limitK, holdS: ceilingHoldS },
        };
  // What is known of start, surge and thermostat outlasts a moment without gas; sums and holds do not.
  const { meanK, soakK, coldS, peakK, surgeOver } = state;
  return {
    state: {
      ...learnedAtRest,
      meanK,
      soakK,
      ceilingS,
      coldS: coldS ?? 0,
      peakK: peakK ?? 0,
      surgeOver: surgeOver ?? false,
    },
    finding,
  };
}
