import type { Condition } from '../alerts/condition.js';
import type { ElbowBaseline } from './baseline.js';
import { hasLeftColdIdle, isOpening } from './cold-idle.js';
import {
  type Attachment,
  type AttachmentContext,
  attachmentAtRest,
  type DetachedFinding,
  stepAttachment,
} from './detached-probe.js';
import { type ElbowView, secondsTo } from './elbow-view.js';
import { warmestRoomC } from './exhaust-memory.js';
import { isExplained, isWithinNormal } from './explained-rise.js';
import type { Finding } from './finding.js';
import { stepLearned } from './learned-detector.js';
import { type LearnedState, type LearnedTuning, learnedAtRest } from './learned-state.js';
import type { NormalBounds } from './normal-bounds.js';
import { type PlainState, plainAtRest, stepPlain } from './plain-detector.js';
import { engineOfProbe, type ProbeSettings } from './settings.js';
import { standardWarningC } from './soak-allowance.js';
import { stepTrend, type TrendState, type Twin, trendAtRest } from './trend-detector.js';
import type { OtherElbow } from './unsteady-threshold.js';

/** Both detectors of one wet elbow, and what they found last. */
export type ElbowState = {
  readonly plain: PlainState;
  readonly learned: LearnedState;
  /** The finding, until the detectors have been quiet for a while. */
  readonly active: { readonly finding: Finding; readonly quietS: number } | null;
  readonly trend: TrendState;
  /** Whether the probe is still attached to its elbow. */
  readonly attachment: Attachment;
  /** Whether the engine has done anything but idle since a cold start; absent until that is known. */
  readonly leftColdIdle?: boolean | undefined;
};
export const elbowAtRest: ElbowState = {
  plain: plainAtRest,
  learned: learnedAtRest,
  active: null,
  trend: trendAtRest,
  attachment: attachmentAtRest,
};

/** Why this probe counts as detached from its elbow; undefined while it counts as attached. */
export const detachedFinding = (elbow: ElbowState | undefined): DetachedFinding | undefined =>
  elbow?.attachment.finding;

const quietForS = 15;

export type ElbowKnowledge = {
  readonly limitC: number;
  readonly baseline: ElbowBaseline | undefined;
  /** What is known of an elbow that was not armed. */
  readonly bounds?: NormalBounds | undefined;
  readonly other: OtherElbow | undefined;
  readonly twin: Twin | undefined;
  /** Absent where nothing was learned. */
  readonly attachment?: AttachmentContext | undefined;
  readonly tuning: LearnedTuning;
};

/** Steps both detectors; the more severe finding is active, and ends 15 s after the last, or at once when the engine stops. */
export function stepElbow(state: ElbowState, view: ElbowView, knowledge: ElbowKnowledge): ElbowState {
  const { limitC, baseline, other, twin, tuning } = knowledge;
  const leftColdIdle = baseline && hasLeftColdIdle(state.leftColdIdle, view, baseline.gasC);
  const coldIdle =
    baseline?.coldIdle &&
    leftColdIdle === false &&
    view.phase === 'running' &&
    view.sinceStartS < baseline.coldIdle.untilS &&
    !(view.exhaust && isOpening(view.exhaust, view.sinceStartS))
      ? baseline.coldIdle
      : undefined;
  const highestRiseK = coldIdle?.highestRiseK ?? baseline?.highestRiseK;
  // An alarm foresees danger to the hose, and not a limit that an owner has set close to normal running.
  const plain = stepPlain(state.plain, view, Math.max(limitC, standardWarningC), {
    highestRiseK,
    bounds: knowledge.bounds,
    coldStartRiseK:
      leftColdIdle === false && view.sinceStartS < tuning.graceS ? baseline?.coldStartRiseK : undefined,
    explained:
      baseline !== undefined &&
      coldIdle === undefined &&
      (isExplained(view, baseline, tuning) || isWithinNormal(view, baseline)),
  });
  const learned = baseline
    ? stepLearned(state.learned, view, baseline, other, tuning, coldIdle)
    : { state: learnedAtRest, finding: undefined };
  const found = moreSevereOf(learned.finding, plain.finding);
  return {
    plain: plain.state,
    learned: learned.state,
    active: holdFinding(state.active, found, view),
    trend: baseline ? stepTrend(state.trend, view, baseline, twin) : state.trend,
    attachment: knowledge.attachment
      ? stepAttachment(state.attachment, view, knowledge.attachment)
      : attachmentAtRest,
    leftColdIdle,
  };
}

function holdFinding(
  before: ElbowState['active'],
  found: Finding | undefined,
  view: ElbowView,
): ElbowState['active'] {
  if (view.phase === 'stopped') return null;
  if (found) {
    if (before?.finding.priority === 'alarm' && found.priority === 'warning') return { ...before, quietS: 0 };
    return { finding: found, quietS: 0 };
  }
  if (!before || before.quietS >= quietForS) return null;
  return { finding: before.finding, quietS: before.quietS + view.dtS };
}

function moreSevereOf(a: Finding | undefined, b: Finding | undefined): Finding | undefined {
  if (!a || !b) return a ?? b;
  return b.priority === 'alarm' && a.priority !== 'alarm' ? b : a;
}

const description: Readonly<Record<Finding['rule'], string>> = {
  'high-limit': 'is above its limit',
  'fast-rise': 'rises faster than a healthy elbow can',
  'rise-over-sea': 'is further above the sea than a healthy elbow gets',
  'limit-soon': 'rises so fast that it passes its limit within seconds',
  'above-learned': 'is warmer than it was learned to be at this exhaust gas',
  'above-learned-steady': 'has been warmer for a minute than it was learned to be at this exhaust gas',
  'warms-at-level-gas': 'warms while its exhaust gas does not',
  'above-learned-ceiling': 'is warmer than it ever was in commissioning',
};

/** Where the limit was only foreseen and has been passed since, the message says so. */
const describe = ({ rule }: Finding, { elbowC }: ElbowView, limitC: number): string =>
  rule === 'limit-soon' && elbowC >= limitC ? `has passed its alarm limit of ${limitC} C` : description[rule];

/** At steady load a probe that has come off and hangs in warm air reads as an elbow with too little water does. */
const orDetached = ({ rule }: Finding, { elbowC, slopeCPerS }: ElbowView): string =>
  rule.startsWith('above-learned') && elbowC < warmestRoomC && slopeCPerS < 0.1
    ? ' Too little water, or its probe has come off and hangs in warm air.'
    : '';

/** The active finding as a condition of the engine's cooling; `view` is absent until the probe is read again. */
export function elbowCondition(
  probe: ProbeSettings,
  finding: Finding,
  view: ElbowView | undefined,
  limitC: number,
): Condition {
  const roomS = view ? secondsTo(view, limitC) : Number.POSITIVE_INFINITY;
  const overSea = view?.seaC === undefined ? '' : `, ${(view.elbowC - view.seaC).toFixed(1)} K above the sea`;
  return {
    situation: 'cooling',
    subject: probe.engine,
    rule: finding.rule,
    priority: finding.priority,
    probe: probe.id,
    ...engineOfProbe(probe),
    message: view
      ? `${probe.name} ${describe(finding, view, limitC)}: ${view.elbowC.toFixed(1)} C${overSea}.${orDetached(finding, view)}`
      : `${probe.name} ${description[finding.rule]}.`,
    evidence: {
      values: finding.values,
      thresholds: finding.thresholds,
      ...(view && { roomC: limitC - view.elbowC }),
      ...(Number.isFinite(roomS) && { roomS }),
    },
    ...(view && { nowC: view.elbowC }),
  };
}
