import { type ElbowBaseline, expectedRiseK } from './baseline.js';
import { type ElbowView, inSwell } from './elbow-view.js';

/**
 * Whether the probe still sits on its elbow. One that has come off hangs in the air of the engine room, which may be
 * colder than the elbow was or just as warm: how warm it is proves little. But an elbow answers its gas within minutes,
 * and air hardly does.
 */
export type Seat = {
  /** What was lately, with a memory of a minute: what is beyond it is movement. */
  readonly memory: Moment | undefined;
  /** Sums over the movements: of what was to be expected, squared, and of that with what the elbow did, K2 s. */
  readonly askedK2S: number;
  readonly answerK2S: number;
  /** The furthest it lately was from where it should have moved to, K; absent in states of earlier versions. */
  readonly missedK?: number;
  /** How long enough has been asked and too little answered, s. */
  readonly owedS: number;
  /** How long it has been far colder than it was learnt to be, s. */
  readonly coldS: number;
  /** How long it has moved faster than air moves a probe, and how long it is left to settle after that, s. */
  readonly movesS: number;
  readonly settlesS: number;
  /** How long it has been well again by the sign that raised it, s. */
  readonly wellS: number;
  readonly told: SeatFinding | undefined;
};

/**
 * The elbow, C, the rise that was learnt, K, the rise that was learnt of this gas once it has stayed so, K, and the slow gas of this
 * engine and of the other while that runs, C.
 */
type Moment = {
  readonly elbowC: number;
  readonly expectedK: number;
  readonly settledK?: number;
  readonly gasC: number;
  readonly otherGasC: number | undefined;
};

export type SeatFinding = {
  readonly sign: 'no-answer' | 'far-too-cold';
  readonly values: Readonly<Record<string, number>>;
  readonly thresholds: Readonly<Record<string, number>>;
};

export const seatAtRest: Seat = {
  memory: undefined,
  askedK2S: 0,
  answerK2S: 0,
  missedK: 0,
  owedS: 0,
  coldS: 0,
  movesS: 0,
  settlesS: 0,
  wellS: 0,
  told: undefined,
};

export type SeatKnowledge = {
  readonly baseline: ElbowBaseline;
  /** The sea probe is believed now. */
  readonly seaGood: boolean;
  /** The other engine's elbow: its half-minute residual, K, and whether it owes an answer too. What both share is no ring. */
  readonly otherK: number | undefined;
  readonly otherOwes: boolean;
  /** Its slow gas while it runs, C: gas that changes on one engine alone may be a tired injector or thermocouple. */
  readonly otherGasC: number | undefined;
};

/** A cold engine's elbow follows its thermostat, and not what was learnt, for up to ten minutes under load. */
const warmEngineS = 900;
const movementS = 60;
/** Movements are forgotten with this time constant, s. */
const forgetS = 200;
/** Enough has been asked of it: one change by 3 K within a minute, or by 5 K in three. */
const enoughK2S = 100;
/** No single movement counts for more than this, K. */
const mostK = 4;
/**
 * Part of the movement that was answered. Chosen on simulated boats, no source: healthy elbows answer about the whole of
 * it, with far more water than was learnt still a half; those fallen off 0 to 0.3, for the air warms with the load.
 */
const leastAnswer = 0.25;
/**
 * What an elbow strayed by itself at steady load, sitting well, proves nothing; of a stray that builds up within a minute or two
 * about half shows against the memory of a minute.
 */
const strayShare = 0.5;
/** An answer may come late: the wall of an elbow and its ring take a minute. */
const owedHoldS = 90;
/** Faster than the air of an engine room moves a probe, for this long: moved by water, gas or a hand. */
const movesCPerS = 0.1;
const movesHoldS = 2;
const settleS = 120;
/** Far too cold: of an expected rise of this much, K, less than this part, and missing this much at the least, for so long. */
const leastExpectedK = 8;
const coldShare = 0.3;
const missingK = 5;
const coldHoldS = 120;
/** Well again: as warm as this part of what was learnt, or answering this part of what was asked, for so long. */
const wellShare = 0.6;
const wellS = 60;

/**
 * Steps what is known of the seat. Judged only on an engine that surely runs and is warm, with gas and sea believed and
 * within what was learnt; what was reported stays until the probe moves as no air moves it, is as warm again as it was
 * learnt to be, or answers its gas again.
 */
export function stepSeat(last: Seat, view: ElbowView, knowledge: SeatKnowledge): Seat {
  const { exhaust, seaC, phase, sinceStartS, elbowC, slopeCPerS, dtS } = view;
  // A question that was answered is closed: what the elbow does after that answers another.
  const before = hasAnswered(last)
    ? { ...seatAtRest, coldS: last.coldS, movesS: last.movesS, settlesS: last.settlesS }
    : last;
  const { baseline, seaGood, otherK, otherOwes, otherGasC } = knowledge;
  const movesS = Math.abs(slopeCPerS) > movesCPerS ? before.movesS + dtS : 0;
  if (movesS >= movesHoldS) return { ...seatAtRest, movesS, settlesS: settleS };
  const settlesS = Math.max(0, before.settlesS - dtS);
  const judged = phase === 'running' && sinceStartS >= warmEngineS && seaGood && settlesS === 0;
  if (!judged || seaC === undefined || !exhaust || exhaust.a > baseline.gasC.max)
    return { ...seatAtRest, movesS, settlesS, told: before.told };
  const expectedK = expectedRiseK(baseline, exhaust, seaC);
  const riseK = elbowC - seaC;
  const lacksK = expectedK - riseK + Math.min(0, otherK ?? 0);
  const cold =
    Math.abs(exhaust.a - exhaust.c) <= 10 &&
    expectedK >= leastExpectedK &&
    lacksK > Math.max(missingK + baseline.spread.steady.q998K, (1 - coldShare) * expectedK);
  const { b } = exhaust;
  const settledK = expectedRiseK(baseline, { a: b, b, c: b }, seaC);
  const moment = { elbowC, expectedK, settledK, gasC: exhaust.c, otherGasC };
  const asked = ask(before, moment, dtS, inSwell(view));
  const owes =
    asked.askedK2S >= enoughK2S &&
    asked.answerK2S < leastAnswer * asked.askedK2S &&
    asked.missedK > strayShare * (baseline.steadyMeanK ?? 0);
  const answers = asked.askedK2S >= enoughK2S && asked.answerK2S > wellShare * asked.askedK2S;
  const wellAgain = before.told?.sign === 'no-answer' ? answers : riseK > wellShare * expectedK;
  const seat: Seat = {
    ...asked,
    owedS: owes && !otherOwes ? before.owedS + dtS : 0,
    coldS: cold ? before.coldS + dtS : 0,
    movesS,
    settlesS,
    wellS: before.told && wellAgain ? before.wellS + dtS : 0,
    told: before.told,
  };
  if (seat.told) return seat.wellS >= wellS ? seatAtRest : seat;
  const told = judge(seat, { temperatureC: elbowC, riseOverSeaK: riseK, expectedRiseK: expectedK });
  return told ? { ...seat, told } : seat;
}

function judge(
  { owedS, coldS, askedK2S, answerK2S }: Seat,
  now: { readonly temperatureC: number; readonly riseOverSeaK: number; readonly expectedRiseK: number },
): SeatFinding | undefined {
  if (owedS >= owedHoldS) {
    const asked = { answeredPart: answerK2S / askedK2S, askedK: overAMinuteK(askedK2S) };
    const thresholds = { answeredPart: leastAnswer, askedK: overAMinuteK(enoughK2S), holdS: owedHoldS };
    return { sign: 'no-answer', values: { temperatureC: now.temperatureC, ...asked }, thresholds };
  }
  if (coldS < coldHoldS) return undefined;
  const thresholds = { riseOverSeaK: coldShare * now.expectedRiseK, holdS: coldHoldS };
  return { sign: 'far-too-cold', values: now, thresholds };
}

/** Whether more has been asked of it than it answered; for the other engine's elbow to know. */
export const owesAnswer = ({ askedK2S, answerK2S }: Seat): boolean =>
  askedK2S >= enoughK2S / 2 && answerK2S < leastAnswer * askedK2S;

/** Whether it lately answered its gas as a probe on its elbow does. */
export const hasAnswered = ({ askedK2S, answerK2S, told }: Seat): boolean =>
  told === undefined && askedK2S >= enoughK2S && answerK2S > wellShare * askedK2S;

/**
 * Takes what is beyond the memories into the sums, and the moment into the memories. After a closed throttle the warm water of a
 * healthy engine holds its elbow up while the gas falls: until that has passed the memories wait, and then the whole change counts.
 * Asked is only what was learnt of this moment and also of this gas once it has stayed so: of what follows later, coolant and metal
 * decide when, and the tail of an earlier change may be answered already.
 */
function ask(
  { memory, askedK2S, answerK2S, missedK = 0 }: Seat,
  now: Moment & { readonly settledK: number },
  dtS: number,
  swells: boolean,
): Pick<Seat, 'memory' | 'askedK2S' | 'answerK2S'> & { readonly missedK: number } {
  if (!memory) return { memory: now, askedK2S: 0, answerK2S: 0, missedK: 0 };
  const kept = Math.exp(-dtS / forgetS);
  const faded = { askedK2S: askedK2S * kept, answerK2S: answerK2S * kept, missedK: missedK * kept };
  if (swells) return { memory, ...faded };
  const share = 1 - Math.exp(-dtS / movementS);
  const follow = (was: number, is: number) => was + (is - was) * share;
  const wasSettledK = memory.settledK ?? now.settledK;
  const should = lesser(now.expectedK - memory.expectedK, now.settledK - wasSettledK);
  const does = now.elbowC - memory.elbowC;
  const countedS = alike(memory, now) ? dtS : 0;
  const asked = clip(should);
  return {
    memory: {
      elbowC: follow(memory.elbowC, now.elbowC),
      expectedK: follow(memory.expectedK, now.expectedK),
      settledK: follow(wasSettledK, now.settledK),
      gasC: follow(memory.gasC, now.gasC),
      otherGasC: now.otherGasC && follow(memory.otherGasC ?? now.otherGasC, now.otherGasC),
    },
    askedK2S: faded.askedK2S + asked * asked * countedS,
    answerK2S: faded.answerK2S + asked * clip(does) * countedS,
    missedK: Math.max(faded.missedK, countedS > 0 ? Math.abs(should) - Math.sign(should) * does : 0),
  };
}

/** The smaller of two movements that go the same way; 0 of two that do not. */
const lesser = (a: number, b: number): number => (a * b <= 0 ? 0 : Math.abs(a) < Math.abs(b) ? a : b);

/** Whether the gases of both engines, where both run, move the same way and about as far. */
function alike(memory: Moment, now: Moment): boolean {
  if (now.otherGasC === undefined || memory.otherGasC === undefined) return true;
  const ratio = (now.otherGasC - memory.otherGasC) / (now.gasC - memory.gasC);
  return ratio > 0.5 && ratio < 2;
}

/** For people to read: the movement that makes this sum in a minute, K. */
const overAMinuteK = (sumK2S: number): number => Math.sqrt(sumK2S / 60);

const clip = (k: number): number => Math.max(-mostK, Math.min(mostK, k));
