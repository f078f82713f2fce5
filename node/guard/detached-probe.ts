import { type ElbowBaseline, expectedRiseK } from './baseline.js';
import { type ElbowView, inThrottleBackSurge } from './elbow-view.js';

/**
 * Whether the probe is still attached to its elbow. One that has come off hangs in the air of the engine room, which may be
 * colder than the elbow was or just as warm: its temperature proves little. But an elbow responds to its gas within
 * minutes, and air hardly does.
 */
export type Attachment = {
  /** Recent averages with a time constant of a minute. A change is measured against them. */
  readonly memory: Moment | undefined;
  /** Sums over the changes, K2 s: of the expected change squared, and of the expected times the observed change. */
  readonly expectedK2S: number;
  readonly responseK2S: number;
  /** The most by which an observed change recently fell short of the expected one, K; absent in states of earlier versions. */
  readonly shortfallK?: number;
  /** How long enough change has been expected and too little observed, s. */
  readonly unresponsiveS: number;
  /** How long it has been far colder than it was learned to be, s. */
  readonly coldS: number;
  /** How long it has changed faster than air changes a probe, and how long it is left to settle after that, s. */
  readonly movesS: number;
  readonly settlesS: number;
  /** How long it has been well again by the sign that raised it, s. */
  readonly wellS: number;
  /** The finding that was reported. */
  readonly finding: DetachedFinding | undefined;
};

type Moment = {
  readonly elbowC: number;
  /** The learned rise over the sea, K. */
  readonly expectedK: number;
  /** The learned rise once the gas has stayed as it is, K. */
  readonly settledK?: number;
  /** The slow memory of the gas of this engine, and of the other one while that runs, C. */
  readonly gasC: number;
  readonly otherGasC: number | undefined;
};

export type DetachedFinding = {
  readonly sign: 'no-answer' | 'far-too-cold';
  readonly values: Readonly<Record<string, number>>;
  readonly thresholds: Readonly<Record<string, number>>;
};

export const attachmentAtRest: Attachment = {
  memory: undefined,
  expectedK2S: 0,
  responseK2S: 0,
  shortfallK: 0,
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
const memoryTauS = 60;
/** Time constant with which changes are forgotten, s. */
const forgetTauS = 200;
/** Enough change was expected to judge by: once 3 K within a minute, or 5 K within three. */
const enoughK2S = 100;
/** No single change counts for more than this, K. */
const mostChangeK = 4;
/**
 * Observed part of the expected change. Chosen on simulated boats, no source: healthy elbows show about the whole of it, with far
 * more water than was learned still a half; detached probes show 0 to 0.3, because the air warms with the load.
 */
const leastResponse = 0.25;
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
/** Well again: this part of the learned rise, or of the expected change, for so long, s. */
const wellShare = 0.6;
const wellHoldS = 60;

/**
 * Judges only on a warm engine that surely runs, with gas and sea believed and within what was learned. A reported finding stays until
 * the probe changes faster than air would change it, is as warm again as was learned, or responds to its gas again.
 */
export function stepAttachment(last: Attachment, view: ElbowView, context: AttachmentContext): Attachment {
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
  const wellAgain = before.finding?.sign === 'no-answer' ? responds(sums) : riseK > wellShare * expectedK;
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

type Sums = Pick<Attachment, 'memory' | 'expectedK2S' | 'responseK2S'> & { readonly shortfallK: number };

/** Whether half of enough change was expected and too little observed; for the judgement of the other engine's elbow. */
export const isUnresponsive = ({ expectedK2S, responseK2S }: Attachment): boolean =>
  expectedK2S >= enoughK2S / 2 && responseK2S < leastResponse * expectedK2S;

/** Whether it recently responded to its gas as an attached probe does. */
export const hasResponded = (attachment: Attachment): boolean =>
  attachment.finding === undefined && responds(attachment);

const responds = ({ expectedK2S, responseK2S }: Pick<Attachment, 'expectedK2S' | 'responseK2S'>): boolean =>
  expectedK2S >= enoughK2S && responseK2S > wellShare * expectedK2S;

/**
 * Adds the change against the memories to the sums, and the moment to the memories. After a closed throttle the warm water of a
 * healthy engine holds its elbow up while the gas falls: until that has passed the memories wait, and then the whole change counts.
 * A change counts as expected only where it was learned both of this moment and of this gas once it has stayed so: coolant and metal
 * decide when the rest follows, and the end of an earlier change may have been observed already.
 */
function addChange(
  { memory, expectedK2S, responseK2S, shortfallK = 0 }: Attachment,
  now: Moment & { readonly settledK: number },
  dtS: number,
  surging: boolean,
): Sums {
  if (!memory) return { memory: now, expectedK2S: 0, responseK2S: 0, shortfallK: 0 };
  const kept = Math.exp(-dtS / forgetTauS);
  const faded = {
    expectedK2S: expectedK2S * kept,
    responseK2S: responseK2S * kept,
    shortfallK: shortfallK * kept,
  };
  if (surging) return { memory, ...faded };
  const share = 1 - Math.exp(-dtS / memoryTauS);
  const follow = (was: number, is: number) => was + (is - was) * share;
  const wasSettledK = memory.settledK ?? now.settledK;
  const expectedChangeK = smallerChange(now.expectedK - memory.expectedK, now.settledK - wasSettledK);
  const observedChangeK = now.elbowC - memory.elbowC;
  const countedS = isGasAlike(memory, now) ? dtS : 0;
  const countedK = clip(expectedChangeK);
  return {
    memory: {
      elbowC: follow(memory.elbowC, now.elbowC),
      expectedK: follow(memory.expectedK, now.expectedK),
      settledK: follow(wasSettledK, now.settledK),
      gasC: follow(memory.gasC, now.gasC),
      otherGasC: now.otherGasC && follow(memory.otherGasC ?? now.otherGasC, now.otherGasC),
    },
    expectedK2S: faded.expectedK2S + countedK * countedK * countedS,
    responseK2S: faded.responseK2S + countedK * clip(observedChangeK) * countedS,
    shortfallK: Math.max(
      faded.shortfallK,
      countedS > 0 ? Math.abs(expectedChangeK) - Math.sign(expectedChangeK) * observedChangeK : 0,
    ),
  };
}

/** The smaller of two changes of the same sign; 0 of two that differ in sign. */
const smallerChange = (a: number, b: number): number => (a * b <= 0 ? 0 : Math.abs(a) < Math.abs(b) ? a : b);

/** Whether the gases of both engines, where both run, change in the same direction and by about as much. */
function isGasAlike(memory: Moment, now: Moment): boolean {
  if (now.otherGasC === undefined || memory.otherGasC === undefined) return true;
  const ratio = (now.otherGasC - memory.otherGasC) / (now.gasC - memory.gasC);
  return ratio > 0.5 && ratio < 2;
}

/** For people to read: the change that adds up to this sum within a minute, K. */
const withinAMinuteK = (sumK2S: number): number => Math.sqrt(sumK2S / 60);

const clip = (k: number): number => Math.max(-mostChangeK, Math.min(mostChangeK, k));
