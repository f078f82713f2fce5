import { allowedResidualK } from './allowed-residual.js';
import type { ElbowBaseline } from './baseline.js';
import type { ColdIdle } from './cold-idle.js';
import { type ElbowView, inThrottleBackSurge, secondsTo } from './elbow-view.js';
import type { Finding, Judged } from './finding.js';
import { isComparable, type LearnedMoment, learnedMoment } from './learned-moment.js';
import { type LearnedState, type LearnedTuning, learnedAtRest } from './learned-state.js';
import { stepLevelChange } from './level-change.js';
import { cooledCPerS, standardWarningC } from './soak-allowance.js';
import { soakFadesS, stepSteadyMean } from './steady-mean.js';
import type { OtherElbow } from './unsteady-threshold.js';

const alarmHoldS = 1.5;
/** An alarm also foresees this limit within so long, C and s. */
const alarmLimitC = standardWarningC;
const alarmWithinS = 60;
/** An elbow that cools this fast, K/s, adds nothing to the sum, as long as its residual is below this, K. */
const easingCPerS = -0.04;
const easingBelowK = 25;
/** No sum goes beyond this, K s. */
const mostCusumKS = 100;
/** The sum that raises during a throttle-back surge, K s: it passes its top within that, and an elbow without water does not. */
const surgeLimitKS = { 'strap-on': 20, well: 60, free: 60 } as const;
/** A surge of a healthy engine passed the highest normal rise by 6 to 11 K: an alarm needs so much more while one may last, K. */
const surgeAlarmMoreK = 10;
/** A residual this far below its highest of late recovers, K; and how fast that is forgotten, s. */
const recoversK = 1;
const peakFadesS = 20;
const ceilingHoldS = 8;
/** Above the highest rise of normal running, K. */
const ceilingMoreK = 4;

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
  const { seaC, dtS } = view;
  if (view.phase !== 'running' || seaC === undefined || view.sinceStartS < tuning.graceS)
    return { state: learnedAtRest, finding: undefined };
  if (!isComparable(view, baseline)) return stepCeiling(view, view.elbowC - seaC, baseline, state);

  const moment = learnedMoment(state, view, { baseline, other, tuning });
  const { residualK, soakK, surging, coldS } = moment;
  const excessK = residualK - allowedResidualK(moment, coldIdle);
  const sum = stepSum(state, moment, excessK);
  const { exhaust } = view;
  const excused = surging || coldS > 0;
  const { bin } = moment;
  const change = stepLevelChange(state, {
    view,
    exhaust,
    baseline,
    bin,
    other,
    residualK,
    excused,
    tuning,
  });
  const mean = stepSteadyMean(state, moment);
  const signs: Signs = {
    excessK,
    limitKS: sum.limitKS,
    changeK: change.changeK,
    changeLimitK: change.limitK,
    meanLimitK: mean.limitK,
    above: sum.cusumKS > sum.limitKS,
    lasts: mean.lasts,
    warms: change.changeKS > sum.limitKS,
  };
  const alarmS = isGrave(moment, signs) ? state.alarmS + dtS : 0;
  const next: LearnedState = {
    cusumKS: sum.cusumKS,
    meanK: mean.meanK,
    steadyS: mean.steadyS,
    overS: mean.overS,
    alarmS,
    ceilingS: 0,
    soakK,
    residualK,
    coldS,
    peakK: sum.peakK,
    surgeOver: moment.surgeOver,
    levelS: change.levelS,
    changeKS: change.changeKS,
  };
  return { state: next, finding: findingOf(moment, signs, alarmS) };
}

/** The sum of what is above the allowed residual, the limit at which it raises, and the highest residual of late. */
function stepSum(state: LearnedState, { view, tuning, residualK, surging }: LearnedMoment, excessK: number) {
  const { slopeCPerS, sinceStartS, dtS, mounting } = view;
  const { limitKS: usualLimitKS, growingKS, capK } = tuning.cusum[mounting];
  const peakK = Math.max(residualK, (state.peakK ?? 0) * Math.exp(-dtS / peakFadesS));
  // Water that comes back after a gulp of air lets the residual fall, and that is waited for; so is a thermostat that after a closed
  // throttle opens once more.
  const grows = !inThrottleBackSurge(view) && residualK >= peakK - recoversK;
  const limitKS = surging ? surgeLimitKS[mounting] : grows ? growingKS : usualLimitKS;
  // However warm the elbow was soaked: one that falls so fast after a start is reached by its water.
  const cooled = sinceStartS < 2 * soakFadesS && slopeCPerS < -cooledCPerS;
  const easing = cooled || (slopeCPerS < easingCPerS && residualK < easingBelowK);
  const cusumKS = easing
    ? Math.min(state.cusumKS, surging ? limitKS : growingKS)
    : Math.min(mostCusumKS, Math.max(0, state.cusumKS + Math.min(excessK, capK) * dtS));
  return { cusumKS, limitKS, peakK };
}

/** What the three signs show at this pass: the sum, the steady mean, and the change at level gas. */
type Signs = {
  readonly excessK: number;
  readonly limitKS: number;
  readonly changeK: number;
  readonly changeLimitK: number;
  readonly meanLimitK: number;
  readonly above: boolean;
  readonly lasts: boolean;
  readonly warms: boolean;
};

/** Whether sum or mean is too high, and the residual is large or grows towards the limit. */
const isGrave = ({ view, tuning, residualK, surging }: LearnedMoment, { above, lasts }: Signs): boolean =>
  (above || lasts) &&
  (residualK > tuning.alarmK + (surging ? surgeAlarmMoreK : 0) ||
    (view.slopeCPerS > tuning.alarmCPerS && !surging && secondsTo(view, alarmLimitC) < alarmWithinS));

function findingOf(moment: LearnedMoment, signs: Signs, alarmS: number): Finding | undefined {
  const { above, lasts, warms } = signs;
  if (alarmS >= alarmHoldS)
    return describe(moment, signs, above ? 'above-learned' : 'above-learned-steady', 'alarm');
  if (above) return describe(moment, signs, 'above-learned', 'warning');
  if (lasts) return describe(moment, signs, 'above-learned-steady', 'warning');
  return warms ? describe(moment, signs, 'warms-at-level-gas', 'warning') : undefined;
}

type LearnedRule = 'above-learned' | 'above-learned-steady' | 'warms-at-level-gas';

function describe(
  { view, riseK, expectedK, residualK }: LearnedMoment,
  { excessK, limitKS, changeK, changeLimitK, meanLimitK }: Signs,
  rule: LearnedRule,
  priority: Finding['priority'],
): Finding {
  const thresholds: Readonly<Record<LearnedRule, Finding['thresholds']>> = {
    'above-learned': { residualK: residualK - excessK, sumKS: limitKS },
    'warms-at-level-gas': { changeK: changeLimitK, sumKS: limitKS },
    'above-learned-steady': { meanResidualK: meanLimitK },
  };
  return {
    rule,
    priority,
    values: {
      temperatureC: view.elbowC,
      riseOverSeaK: riseK,
      expectedRiseK: expectedK,
      residualK,
      ...(rule === 'warms-at-level-gas' && { changeK }),
      riseCPerS: view.slopeCPerS,
      exhaustC: view.exhaust.a,
    },
    thresholds: thresholds[rule],
  };
}

/** Exhaust gas lost: what is left is the highest rise that normal running ever showed. */
function stepCeiling(
  { slopeCPerS, dtS }: ElbowView,
  riseK: number,
  baseline: ElbowBaseline,
  state: LearnedState,
): Judged<LearnedState> {
  const limitK = baseline.highestRiseK + ceilingMoreK;
  // What a hot restart soaked up falls as only water lets it.
  const ceilingS = riseK > limitK && slopeCPerS >= -cooledCPerS ? state.ceilingS + dtS : 0;
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
