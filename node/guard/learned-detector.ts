import { binOf, type ElbowBaseline, expectedRiseK, unknownSeaK, warmUpS } from './baseline.js';
import { type ElbowView, secondsTo } from './elbow-view.js';
import type { Finding, Judged } from './finding.js';

/** The numbers of the learned detector. K is kelvin above what was learnt. */
export type LearnedTuning = {
  /** How far ahead the slope leads the residual, s. */
  readonly leadS: Readonly<Record<'strap-on' | 'well' | 'free', number>>;
  readonly leastK: number;
  readonly spreadFactor: number;
  readonly spreadMoreK: number;
  readonly graceS: number;
  /** Allowance after a start, on top of what was soaked up, and the most of that; it fades with 40 s. */
  readonly afterStartK: number;
  readonly mostSoakK: number;
  readonly cusumKS: number;
  readonly cusumCapK: number;
  readonly steadyTwinK: number;
  readonly steadySingleK: number;
  readonly alarmK: number;
  readonly alarmCPerS: number;
  /** Part of the other engine's residual that is taken for weather, and its bound in K. */
  readonly twinShare: number;
  readonly twinClipK: number;
};

export type LearnedState = {
  readonly cusumKS: number;
  /** 30 s memory of the residual, K, and how long the moment has been steady, s. */
  readonly meanK: number;
  readonly steadyS: number;
  readonly overS: number;
  readonly alarmS: number;
  readonly ceilingS: number;
  /** Residual at the moment of arming: after a hot restart the elbow still gives off what it soaked up, K. */
  readonly soakK: number;
  /** Led residual of this pass, for the other engine and for evidence. */
  readonly residualK: number;
};
export const learnedAtRest: LearnedState = {
  cusumKS: 0,
  meanK: 0,
  steadyS: 0,
  overS: 0,
  alarmS: 0,
  ceilingS: 0,
  soakK: 0,
  residualK: 0,
};

const fallingCPerS = -0.04;
const alarmHoldS = 1.5;
const steadyHoldS = 30;
const ceilingHoldS = 8;
/** Learned idle is this much above any gas that can be believed of a running engine, K; twice the worst noise. */
const gasLostK = 15;
/** Allowance for each K that gas and sea are beyond what was learnt; the gas by the steepest elbows simulated, the sea by the damping of the fit. */
const gasBeyondShare = 0.1;
const seaBeyondShare = 0.15;

/**
 * Residual of the rise over the sea against what commissioning learnt, led by the slope: y + lead x slope - sea - f.
 * Armed only while the engine surely runs. `otherK` is the residual of the other engine's elbow, absent when there is
 * none or it cannot be judged: what both share is sea and weather, not a failing pump.
 */
export function stepLearned(
  state: LearnedState,
  view: ElbowView,
  baseline: ElbowBaseline,
  otherK: number | undefined,
  tuning: LearnedTuning,
): Judged<LearnedState> {
  const { seaC, exhaust, dtS, slopeCPerS: slope } = view;
  if (view.phase !== 'running' || seaC === undefined || view.sinceStartS < tuning.graceS)
    return { state: learnedAtRest, finding: undefined };
  const riseK = view.elbowC - seaC;
  // Gas colder than a running engine was ever seen to make is a lost probe, not a reason to expect no rise.
  if (!exhaust || exhaust.a < baseline.gasC.min - gasLostK) return stepCeiling(riseK, baseline, state, dtS);

  const expectedK = expectedRiseK(baseline, exhaust, seaC);
  const residualK = riseK + tuning.leadS[view.mounting] * slope - expectedK;
  const commonK = tuning.twinShare * Math.min(Math.max(0, otherK ?? 0), tuning.twinClipK);
  const justArmed = view.sinceStartS - dtS < tuning.graceS;
  const soakK = justArmed ? Math.min(Math.max(0, residualK), tuning.mostSoakK) : state.soakK;
  const spreadK = baseline.spread[binOf(exhaust, view.warmS)].q998K;
  const beyondK =
    gasBeyondShare * Math.max(0, exhaust.a - baseline.gasC.max) +
    seaBeyondShare * unknownSeaK(baseline, seaC);
  const k =
    Math.max(tuning.leastK, tuning.spreadFactor * spreadK + tuning.spreadMoreK) +
    (tuning.afterStartK + soakK) * Math.exp(-(view.sinceStartS - tuning.graceS) / 40) +
    beyondK;
  const easing = slope < fallingCPerS && residualK < 25;
  const cusumKS = easing
    ? Math.min(state.cusumKS, tuning.cusumKS)
    : Math.min(100, Math.max(0, state.cusumKS + Math.min(residualK - commonK - k, tuning.cusumCapK) * dtS));
  const steady = Math.abs(exhaust.a - exhaust.c) <= 10 && view.warmS >= warmUpS;
  const meanK = state.meanK + (residualK - commonK - state.meanK) * (1 - Math.exp(-dtS / 30));
  const steadyLimitK = Math.max(
    otherK === undefined ? tuning.steadySingleK : tuning.steadyTwinK,
    0.6 * baseline.spread.steady.q998K + 0.4 + beyondK,
  );
  const steadyS = steady ? state.steadyS + dtS : 0;
  const overS = steadyS > 60 && meanK > steadyLimitK ? state.overS + dtS : 0;
  const warned = cusumKS > tuning.cusumKS;
  const grave =
    (warned || overS >= steadyHoldS) &&
    (residualK > tuning.alarmK || (slope > tuning.alarmCPerS && secondsTo(view, 82) < 60));
  const next: LearnedState = {
    cusumKS,
    meanK,
    steadyS,
    overS,
    alarmS: grave ? state.alarmS + dtS : 0,
    ceilingS: 0,
    soakK,
    residualK,
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
        riseCPerS: slope,
        exhaustC: exhaust.a,
      },
      thresholds:
        rule === 'above-learned' ? { residualK: k, sumKS: tuning.cusumKS } : { meanResidualK: steadyLimitK },
    },
  });
  if (next.alarmS >= alarmHoldS) return found(warned ? 'above-learned' : 'above-learned-steady', 'alarm');
  if (warned) return found('above-learned', 'warning');
  if (overS >= steadyHoldS) return found('above-learned-steady', 'warning');
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
  return { state: { ...learnedAtRest, ceilingS }, finding };
}
