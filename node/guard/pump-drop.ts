import { expectedAt, gasAt, type PumpMemory } from './pump-memory.js';

/**
 * A pressure that has fallen within seconds. A throttle that was closed takes the exhaust gas down with it; a vane that broke does not.
 * So the pump is compared with itself some seconds ago, which needs no normal of this load, and judges while gas still falls slowly.
 */
export type PumpDrop = {
  /** What pump and gas gave in the last seconds, kPa and C, and on how many that rests; held fast while less is given. */
  readonly usualKpa: number;
  readonly usualGasC: number;
  readonly usualS: number;
  /** Without pulses and noise: pressure, kPa, and gas, C. */
  readonly kpa: number;
  readonly gasC: number;
  /** How long less has been given without coming back, s; 0 where it is not; and the least of it, kPa. */
  readonly sinceS: number;
  readonly leastKpa: number;
  readonly verdict: 'unknown' | 'unexplained';
  readonly answers: GasAnswers;
};

/** How this boat's gas has answered closed throttles by the time it is judged. Kept over a restart. */
export type GasAnswers = {
  readonly closings: number;
  /** The least part of the way to where the gas is known to be at the lower pressure. */
  readonly leastPart: number;
};

export const noAnswers: GasAnswers = { closings: 0, leastPart: 1 };
export const noDrop: PumpDrop = {
  usualKpa: 0,
  usualGasC: 0,
  usualS: 0,
  kpa: 0,
  gasC: 0,
  sinceS: 0,
  leastKpa: 0,
  verdict: 'unknown',
  answers: noAnswers,
};

/** Smoothing of pressure, gas and of what is usual, s. */
const kpaTauS = 0.5;
const gasTauS = 2;
const usualTauS = 8;
/** What is usual rests on this long; before, a start has hardly ended, s. */
const leastUsualS = 15;
/** Seven tenths of the flow leave half of what the flow makes of the pressure, and all of the column in the hose. */
const dropShare = 0.75;
const endsShare = 0.85;
const leastDropKpa = 2;
/** What comes back of what is missing shows a gulp of air; and of what is left noise and pulses are no more than this. */
const backShare = 0.2;
const noiseShare = 0.04;
/** Longer than any gulp that holds an alarm back, and long enough for a gas probe to answer, s. */
const judgedAfterS = 10;
/**
 * The part of the way to the gas of the lower pressure that the gas has gone by then. On the first two invented plants 0.15 to 2 after 1,743
 * closed throttles, -0.04 to 0.03 after 125 losses. A probe in a heavy sheath answers less, and so did the gas of some engines of the sixth
 * plant (0.04 to 0.1): hence a part of the least that this boat's own closed throttles have shown.
 */
const mostPart = 0.04;
const partOfLeast = 0.35;
/** Where it is near that, it is waited for so long; gas on its way down is taken to go on for some seconds, s. */
const decidedAfterS = 16;
const surelyTimes = 3;
const goesOnS = 4;
const leastAnswer = 0.03;
const provenByClosings = 4;
/** The least is forgotten by this part with each closed throttle. */
const forgets = 0.03;
/** Loads that are no further apart than this in gas cannot be distinguished by it; once it has gone further after a finding, what is usual there counts, K. */
const leastWayK = 20;
/** Nor is a pump judged under gas that rises by more: a rope in the propeller, K. */
const mostRiseK = 4;
/** Below which part of its earlier pressure most of the flow is gone. */
const lostShare = 0.45;

type DropSigns = {
  readonly kpa: number;
  readonly gasC: number | undefined;
  readonly gasSlopeCPerS: number;
  readonly dtS: number;
};

/** Steps with one pass of `dtS` seconds of an engine that runs and whose pump has given water. Without gas it starts again. */
export function stepDrop(
  before: PumpDrop,
  memory: PumpMemory,
  { kpa, gasC, gasSlopeCPerS, dtS }: DropSigns,
): PumpDrop {
  // What was found stays while the gas is not seen.
  const seenC = gasC ?? (before.verdict === 'unexplained' ? before.gasC : undefined);
  if (seenC === undefined) return endDrop(before);
  if (before.usualS === 0) return restart({ ...before, kpa, gasC: seenC }, dtS);
  const now = {
    ...before,
    kpa: towards(before.kpa, kpa, dtS / kpaTauS),
    gasC: towards(before.gasC, seenC, dtS / gasTauS),
  };
  const { usualKpa, sinceS } = now;
  if (now.kpa >= usualKpa * (sinceS > 0 ? endsShare : dropShare) || usualKpa - now.kpa < leastDropKpa)
    return {
      ...now,
      usualKpa: towards(usualKpa, now.kpa, dtS / usualTauS),
      usualGasC: towards(now.usualGasC, now.gasC, dtS / usualTauS),
      usualS: Math.min(leastUsualS, now.usualS + dtS),
      sinceS: 0,
      verdict: 'unknown',
    };
  if (now.usualS < leastUsualS) return restart(now, dtS);
  const least = sinceS > 0 ? Math.min(now.leastKpa, now.kpa) : now.kpa;
  // What comes back part of the way is a gulp of air, and the next one counts from its own start.
  const comesBack =
    now.verdict === 'unknown' && now.kpa > least + backShare * (usualKpa - least) + noiseShare * least;
  return comesBack
    ? { ...now, sinceS: dtS, leastKpa: now.kpa }
    : judged({ ...now, sinceS: sinceS + dtS, leastKpa: least }, memory, gasSlopeCPerS, dtS);
}

function judged(now: PumpDrop, memory: PumpMemory, gasSlopeCPerS: number, dtS: number): PumpDrop {
  if (now.sinceS < judgedAfterS) return now;
  const { usualGasC, usualKpa, answers } = now;
  const wayK = usualGasC - (gasAt(memory, now.kpa) ?? usualGasC);
  const part = (usualGasC - now.gasC) / Math.max(leastWayK, wayK);
  if (now.verdict === 'unexplained')
    return Math.abs(usualGasC - now.gasC) < leastWayK
      ? now
      : { ...now, usualGasC: now.gasC, usualKpa: expectedAt(memory, now.gasC)?.meanKpa ?? usualKpa };
  if (wayK < leastWayK || now.gasC - usualGasC > mostRiseK) return restart(now, dtS);
  const mayGo = Math.min(mostPart, partOfLeast * answers.leastPart);
  const soonPart = part - (Math.min(0, gasSlopeCPerS) * goesOnS) / wayK;
  if (answers.closings >= provenByClosings) {
    if (soonPart < mayGo) return { ...now, verdict: 'unexplained' };
    // Gas that hunts comes back; that of a throttle that was closed goes on.
    if (part < surelyTimes * mayGo && now.sinceS < decidedAfterS) return now;
  }
  return { ...restart(now, dtS), answers: part > leastAnswer ? answered(answers, part) : answers };
}

const answered = ({ closings, leastPart }: GasAnswers, part: number): GasAnswers => ({
  closings: Math.min(provenByClosings, closings + 1),
  leastPart: Math.min(1, part, leastPart * (1 + forgets)),
});

const restart = (now: PumpDrop, dtS: number): PumpDrop => ({
  ...now,
  usualKpa: now.kpa,
  usualGasC: now.gasC,
  usualS: dtS,
  sinceS: 0,
  verdict: 'unknown',
});

/** Nothing is known of the last seconds: the engine has stopped, or its gas is not seen. */
export const endDrop = ({ answers }: PumpDrop): PumpDrop => ({ ...noDrop, answers });

/** Whether the pump gives less than some seconds ago, whatever the reason. */
export const hasDropped = ({ sinceS }: PumpDrop): boolean => sinceS > 0;

/** What is found: most of the pressure is gone, or some; undefined where nothing is, or a closed throttle explains it. */
export const foundByDrop = ({
  verdict,
  kpa,
  usualKpa,
}: PumpDrop): 'raw-water-lost' | 'raw-water-low' | undefined =>
  verdict === 'unknown' ? undefined : kpa < lostShare * usualKpa ? 'raw-water-lost' : 'raw-water-low';

const towards = (from: number, to: number, taus: number): number =>
  from + (to - from) * (1 - Math.exp(-taus));
