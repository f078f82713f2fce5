import { binOf, type ElbowBaseline, expectedRiseK, meanTauS, settledS, unknownSeaK } from './baseline.js';
import { type ElbowView, inSwell, secondsTo } from './elbow-view.js';
import { type ExhaustMemory, isSteady } from './exhaust-memory.js';
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
  /** Sum of what is above the threshold that raises, and the most that a moment adds. */
  readonly cusum: Readonly<
    Record<'strap-on' | 'well' | 'free', { readonly limitKS: number; readonly capK: number }>
  >;
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
/** Where commissioning did not keep the led rise, the highest rise and this much, K. */
const ledMoreK = 2;
/** Above the highest led rise that normal running showed, K: a step or two of a 10-bit converter. */
const aboveHighestK = 1;
/** Gases of two engines within this of each other, now and as they were for two minutes, belong to engines driven alike, K. */
const alikeK = 40;
/** Thermostats of twins do not open in the same second, so that an unsteady elbow may leave its twin by this many thresholds. */
const apartFromTwin = 2;
const gasBeyondShare = 0.1;
const seaBeyondShare = 0.15;

/** What the elbow of another engine shows at the same time: its half-minute residual, its led residual of now, K, and its gas. */
export type OtherElbow = {
  readonly meanK: number;
  readonly residualK: number;
  readonly exhaust: ExhaustMemory | undefined;
};

/**
 * The threshold outside of steady running, K. There an elbow also moves by the heat that coolant and metal have stored: when a
 * thermostat opens, after the throttle is closed, on a cold engine driven hard. The gas knows nothing of it, and six trips show
 * it only six times. So a residual is believed once the led rise passes the highest that normal running showed; or earlier,
 * where a twin that is driven alike does not do likewise.
 */
function unsteadyK(
  usualK: number,
  expectedK: number,
  exhaust: ExhaustMemory,
  { highestRiseK, highestLedRiseK = highestRiseK + ledMoreK }: ElbowBaseline,
  other: OtherElbow | undefined,
): number {
  const beyondNormalK = highestLedRiseK + aboveHighestK - expectedK;
  const alike =
    other?.exhaust !== undefined &&
    Math.abs(other.exhaust.a - exhaust.a) < alikeK &&
    Math.abs(other.exhaust.c - exhaust.c) < alikeK;
  const beyondTwinK = alike
    ? apartFromTwin * usualK + Math.max(0, other.residualK)
    : Number.POSITIVE_INFINITY;
  return Math.max(usualK, Math.min(beyondNormalK, beyondTwinK));
}

/**
 * Residual of the rise over the sea against what commissioning learnt, led by the slope: y + lead x slope - sea - f.
 * Armed only while the engine surely runs. `other` is the other engine's elbow, absent when there is
 * none or it cannot be judged: what both share is sea and weather, not a failing pump.
 */
export function stepLearned(
  state: LearnedState,
  view: ElbowView,
  baseline: ElbowBaseline,
  other: OtherElbow | undefined,
  tuning: LearnedTuning,
): Judged<LearnedState> {
  const { seaC, exhaust, dtS, slopeCPerS: slope } = view;
  if (view.phase !== 'running' || seaC === undefined || view.sinceStartS < tuning.graceS)
    return { state: learnedAtRest, finding: undefined };
  const riseK = view.elbowC - seaC;
  // Gas colder than a running engine was ever seen to make is a lost probe, not a reason to expect no rise.
  if (!exhaust || exhaust.a < baseline.gasC.min - gasLostK) return stepCeiling(riseK, baseline, state, dtS);

  const expectedK = expectedRiseK(baseline, exhaust, seaC);
  // Slopes prove nothing so long, nor does a twin whose thermostat closed earlier.
  const swell = inSwell(view);
  const leadS = swell ? 0 : tuning.leadS[view.mounting];
  const residualK = riseK + leadS * slope - expectedK;
  const commonK = tuning.twinShare * Math.min(Math.max(0, other?.meanK ?? 0), tuning.twinClipK);
  const justArmed = view.sinceStartS - dtS < tuning.graceS;
  const soakK = justArmed ? Math.min(Math.max(0, residualK), tuning.mostSoakK) : state.soakK;
  const bin = binOf(exhaust, view.warmS);
  const usualK = Math.max(
    tuning.leastK,
    tuning.spreadFactor * baseline.spread[bin].q998K + tuning.spreadMoreK,
  );
  const beyondK =
    gasBeyondShare * Math.max(0, exhaust.a - baseline.gasC.max) +
    seaBeyondShare * unknownSeaK(baseline, seaC);
  const k =
    (bin === 'steady' && isSteady(exhaust) && !swell
      ? usualK
      : unsteadyK(usualK, expectedK, exhaust, baseline, swell ? undefined : other)) +
    (tuning.afterStartK + soakK) * Math.exp(-(view.sinceStartS - tuning.graceS) / 40) +
    beyondK;
  const { limitKS, capK } = tuning.cusum[view.mounting];
  const easing = slope < fallingCPerS && residualK < 25;
  const cusumKS = easing
    ? Math.min(state.cusumKS, limitKS)
    : Math.min(100, Math.max(0, state.cusumKS + Math.min(residualK - commonK - k, capK) * dtS));
  const steady = bin === 'steady' && !swell;
  const meanK = state.meanK + (residualK - commonK - state.meanK) * (1 - Math.exp(-dtS / meanTauS));
  const steadyLimitK = Math.max(
    other === undefined ? tuning.steadySingleK : tuning.steadyTwinK,
    0.6 * baseline.spread.steady.q998K + 0.4 + beyondK,
    // A thermostat that hunts makes means of its own.
    1.3 * (baseline.steadyMeanK ?? 0) + 0.5 + beyondK,
  );
  const steadyS = steady ? state.steadyS + dtS : 0;
  const overS = steadyS > settledS && meanK > steadyLimitK ? state.overS + dtS : 0;
  const warned = cusumKS > limitKS;
  const grave =
    (warned || overS >= steadyHoldS) &&
    (residualK > tuning.alarmK || (slope > tuning.alarmCPerS && !swell && secondsTo(view, 82) < 60));
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
        rule === 'above-learned' ? { residualK: k, sumKS: limitKS } : { meanResidualK: steadyLimitK },
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
