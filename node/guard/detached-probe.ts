import { type ElbowBaseline, expectedRiseK } from './baseline.js';
import { type ElbowView, inThrottleBackSurge } from './elbow-view.js';
import {
  addChange,
  enoughK2S,
  leastResponse,
  noSums,
  type ResponseSums,
  responds,
  wellShare,
  withinAMinuteK,
} from './response-sums.js';
import {
  leastMove,
  type StartResponse,
  stayedStill,
  stepStartResponse,
  wasMovedByWater,
} from './start-response.js';

/**
 * Whether the probe is still attached to its elbow. One that has come off hangs in the air of the engine room, which may be
 * colder than the elbow was or just as warm: its temperature proves little. But an elbow responds to its gas within
 * minutes, and air hardly does.
 */
export type Attachment = ResponseSums & {
  /** How long enough change has been expected and too little observed, s. */
  readonly unresponsiveS: number;
  /** How long it has been far colder than it was learned to be, s. */
  readonly coldS: number;
  /** How long it has changed faster than air changes a probe, and how long it is left to settle after that, s. */
  readonly movesS: number;
  readonly settlesS: number;
  /** How long it has been well again by the sign that raised it, s. */
  readonly wellS: number;
  /** What it did since the engine was started; absent once that is over, and in states of earlier versions. */
  readonly start?: StartResponse | undefined;
  /** The finding that was reported. */
  readonly finding: DetachedFinding | undefined;
};

export type DetachedFinding = {
  readonly sign: 'no-answer' | 'far-too-cold' | 'still-at-start';
  readonly values: Readonly<Record<string, number>>;
  readonly thresholds: Readonly<Record<string, number>>;
};

export const attachmentAtRest: Attachment = {
  ...noSums,
  unresponsiveS: 0,
  coldS: 0,
  movesS: 0,
  settlesS: 0,
  wellS: 0,
  finding: undefined,
};

export type AttachmentContext = {
  readonly baseline: ElbowBaseline;
  /** Whether the sea probe is believed now. */
  readonly seaGood: boolean;
  /** The other engine's elbow: its half-minute residual, K, and whether it does not respond either. What both share is no loose probe. */
  readonly otherResidualK: number | undefined;
  readonly otherUnresponsive: boolean;
  /** The slow memory of its gas while it runs, C: gas that changes on one engine alone may be a worn injector or thermocouple. */
  readonly otherGasC: number | undefined;
};

/** A cold engine's elbow follows its thermostat, and not what was learned, for up to ten minutes under load. */
const warmEngineS = 900;
/**
 * An attached elbow strays by itself at steady load, and that much proves nothing. Of a stray that builds up within a minute or two
 * about half shows against the memory of a minute.
 */
const strayShare = 0.5;
/** A response may come late: the wall of an elbow and its ring take a minute. */
const unresponsiveHoldS = 90;
/** Faster than the air of an engine room changes a probe, for this long: moved by water, gas or a hand. */
const movesCPerS = 0.1;
const movesHoldS = 2;
const settleS = 120;
/** Far too cold: the expected rise is at least this, K; the rise is below this part of it and this much too low, K; for so long, s. */
const leastExpectedK = 8;
const coldShare = 0.3;
const missingK = 5;
const coldHoldS = 120;
/** Well again for so long, s. */
const wellHoldS = 60;

/**
 * Judges what water and gas ask of the probe: after each start whether the water moved it, later whether it follows its gas. A reported
 * finding stays until the probe changes faster than air would change it, is as warm again as was learned, follows its gas again, or is
 * moved by its water after a start.
 */
export function stepAttachment(last: Attachment, view: ElbowView, context: AttachmentContext): Attachment {
  const start = stepStartResponse(last.start, view, context.baseline, context.seaGood);
  const now = stepResponse(last, view, context);
  if (now.finding) return wasMovedByWater(start) ? { ...attachmentAtRest, start } : { ...now, start };
  return stayedStill(start)
    ? { ...now, start, finding: stillAtStart(start, view.elbowC) }
    : { ...now, start };
}

/**
 * Judges only on a warm engine that surely runs, with gas and sea believed and within what was learned.
 */
function stepResponse(last: Attachment, view: ElbowView, context: AttachmentContext): Attachment {
  const { exhaust, seaC, phase, sinceStartS, elbowC, slopeCPerS, dtS } = view;
  // After a response the sums start again, so that the next change is judged by itself.
  const before = hasResponded(last)
    ? { ...attachmentAtRest, coldS: last.coldS, movesS: last.movesS, settlesS: last.settlesS }
    : last;
  const { baseline, seaGood, otherResidualK, otherUnresponsive, otherGasC } = context;
  const movesS = Math.abs(slopeCPerS) > movesCPerS ? before.movesS + dtS : 0;
  if (movesS >= movesHoldS) return { ...attachmentAtRest, movesS, settlesS: settleS };
  const settlesS = Math.max(0, before.settlesS - dtS);
  const canBeJudged = phase === 'running' && sinceStartS >= warmEngineS && seaGood && settlesS === 0;
  if (!canBeJudged || seaC === undefined || !exhaust || exhaust.a > baseline.gasC.max)
    return { ...attachmentAtRest, movesS, settlesS, finding: before.finding };
  const expectedK = expectedRiseK(baseline, exhaust, seaC);
  const riseK = elbowC - seaC;
  const tooLowK = expectedK - riseK + Math.min(0, otherResidualK ?? 0);
  const farTooCold =
    Math.abs(exhaust.a - exhaust.c) <= 10 &&
    expectedK >= leastExpectedK &&
    tooLowK > Math.max(missingK + baseline.spread.steady.q998K, (1 - coldShare) * expectedK);
  const { b } = exhaust;
  const settledK = expectedRiseK(baseline, { a: b, b, c: b }, seaC);
  const moment = { elbowC, expectedK, settledK, gasC: exhaust.c, otherGasC };
  const sums = addChange(before, moment, dtS, inThrottleBackSurge(view));
  const unresponsive =
    sums.expectedK2S >= enoughK2S &&
    sums.responseK2S < leastResponse * sums.expectedK2S &&
    sums.shortfallK > strayShare * (baseline.steadyMeanK ?? 0);
  const wellAgain = before.finding?.sign === 'far-too-cold' ? riseK > wellShare * expectedK : responds(sums);
  const now: Attachment = {
    ...sums,
    unresponsiveS: unresponsive && !otherUnresponsive ? before.unresponsiveS + dtS : 0,
    coldS: farTooCold ? before.coldS + dtS : 0,
    movesS,
    settlesS,
    wellS: before.finding && wellAgain ? before.wellS + dtS : 0,
    finding: before.finding,
  };
  if (now.finding) return now.wellS >= wellHoldS ? attachmentAtRest : now;
  const finding = findingOf(now, { temperatureC: elbowC, riseOverSeaK: riseK, expectedRiseK: expectedK });
  return finding ? { ...now, finding } : now;
}

function findingOf(
  { unresponsiveS, coldS, expectedK2S, responseK2S }: Attachment,
  now: { readonly temperatureC: number; readonly riseOverSeaK: number; readonly expectedRiseK: number },
): DetachedFinding | undefined {
  if (unresponsiveS >= unresponsiveHoldS) {
    const { temperatureC } = now;
    const values = {
      temperatureC,
      answeredPart: responseK2S / expectedK2S,
      askedK: withinAMinuteK(expectedK2S),
    };
    const thresholds = {
      answeredPart: leastResponse,
      askedK: withinAMinuteK(enoughK2S),
      holdS: unresponsiveHoldS,
    };
    return { sign: 'no-answer', values, thresholds };
  }
  if (coldS < coldHoldS) return undefined;
  const thresholds = { riseOverSeaK: coldShare * now.expectedRiseK, holdS: coldHoldS };
  return { sign: 'far-too-cold', values: now, thresholds };
}

const stillAtStart = (
  { movedK, wantedK }: Required<StartResponse>,
  temperatureC: number,
): DetachedFinding => ({
  sign: 'still-at-start',
  values: { temperatureC, movedK, wantedK },
  thresholds: { movedK: leastMove * wantedK },
});

/** Whether half of enough change was expected and too little observed; for the judgement of the other engine's elbow. */
export const isUnresponsive = ({ expectedK2S, responseK2S }: Attachment): boolean =>
  expectedK2S >= enoughK2S / 2 && responseK2S < leastResponse * expectedK2S;

/** Whether it recently responded to its gas as an attached probe does. */
export const hasResponded = (attachment: Attachment): boolean =>
  attachment.finding === undefined && responds(attachment);
