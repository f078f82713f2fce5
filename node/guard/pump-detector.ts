import { type ExhaustMemory, isFalling } from './exhaust-memory.js';
import { drawsAirAllTheTime, holdAfterGulps, stepGulps } from './gulps.js';
import { mayPrimeForS, primedAfter } from './priming.js';
import { endDrop, foundByDrop, hasDropped, stepDrop } from './pump-drop.js';
import {
  aboveZero,
  columnKpa,
  type Expected,
  expectedAt,
  flowAt,
  idleExpected,
  learn,
} from './pump-memory.js';
import { nothingHeld, type PumpRule, type PumpState, pumpRules } from './pump-state.js';
import { isZeroKnown, type PumpZero, stepZero, wanderKpa, zeroErrorKpa } from './pump-zero.js';

/** What bears on one pump in one pass. */
export type PumpSigns = {
  readonly readingKpa: number | undefined;
  readonly phase: 'stopped' | 'running' | 'unsure';
  /** Exhaust gas, C: shows the load. Without it nothing is learned, and only a pump that gives next to nothing is found. */
  readonly gasC: number | undefined;
  /** Of the exhaust gas, K/s. */
  readonly gasSlopeCPerS: number;
  /** Where the gas was lately. */
  readonly exhaust?: ExhaustMemory | undefined;
  readonly dtS: number;
};

/** Takes the pulse of the vanes and the noise of a 10-bit converter out, s. */
const smoothS = 0.25;
/** Before anything is learned, a running pump gives more than this (0.2 m of water; common practice, no source), kPa. */
const leastRunningKpa = 2;
/** Learning begins when start and priming are over; gas that changes faster belongs to no load, s and K/s. */
const learnsAfterS = 25;
const settledGasCPerS = 0.8;
/** A fast idle that ends shows in the pressure, and hardly in gas that is still warming, s. */
const dropsAfterS = 60;
/** What gives less than this part of its mean at the same gas turns at half the speed, or gulps air: neither is normal there. */
const leastLearnedPart = 0.3;
/** What a pump moves follows its speed within a second or two, s. */
const flowTauS = 2;
/** At a hot restart the gas probe shows the load of before for this long: pumps on the second invented plant were 4 to 6 s behind it, s. */
const gasFollowsAfterS = 20;

/**
 * How far below normal, and for how long. A draught of air in a seaway takes half of the flow for up to three seconds, and
 * the water needs two more to come back, on the invented plants: 1.6 s made 12 false alarms in 36 hours of the second
 * (seeds 9401 to 9415). Half of the flow leaves more than a quarter of the pressure, so less than that is believed sooner.
 */
const lost = { meanShare: 0.45, lowShare: 0.7, holdS: 6 } as const;
const nearlyAll = { meanShare: 0.22, lowShare: 0.35, holdS: 1.4 } as const;
/**
 * Behind a column of water a lost pump keeps its pressure, so that the share is not of all. Draughts of air left 0.38 of the flow and
 * more on the invented plants, which is 0.14 of what the flow makes; a quarter of it makes 0.06.
 */
const nearlyAllOfFlow = 0.06;
const nearlyAllOf = ({ meanKpa }: Expected, columnKpa: number): Shares => {
  const ofAll = (columnKpa + nearlyAllOfFlow * (meanKpa - columnKpa)) / meanKpa;
  const meanShare = Math.max(nearlyAll.meanShare, Math.min(lost.meanShare, ofAll));
  return { meanShare, lowShare: (meanShare * nearlyAll.lowShare) / nearlyAll.meanShare };
};
type Shares = { readonly meanShare: number; readonly lowShare: number };
const low = { meanShare: 0.65, lowShare: 0.85, holdS: 8 } as const;
/** Below what the pump gives at the least load: no change of throttle explains it. */
const none = { meanShare: 0.62, lowShare: 0.8, holdS: 1.4 } as const;
/** Water that is back moves more than this part of what it did before; and a draught leaves less. */
const backFlow = 0.7;
/** Well again above this part of what raised it, for so long, s. */
const backShare = 1.15;
const backS = 5;

/** Steps one pump. A reading that is missing leaves everything as it was: the probe's fault is an alert of its own. */
export function stepPump(before: PumpState, signs: PumpSigns): PumpState {
  const { readingKpa, phase, dtS } = signs;
  if (readingKpa === undefined) return before;
  const rawKpa = readingKpa - before.zeroKpa;
  const kpa =
    before.kpa === undefined ? rawKpa : before.kpa + (rawKpa - before.kpa) * (1 - Math.exp(-dtS / smoothS));
  if (phase === 'stopped') return whileStopped({ ...before, kpa }, readingKpa, dtS);
  const runningS = before.runningS + dtS;
  const gives = kpa > floorOf(before);
  const began = before.runningS === 0;
  const running = {
    ...before,
    kpa,
    runningS,
    primed: before.primed || gives,
    beganDry: began ? !gives : before.beganDry,
    stoppedS: 0,
    // Before idle is known, a first trickle passes for water.
    priming:
      gives && !before.primed && before.beganDry && idleExpected(before.memory)
        ? primedAfter(before.priming, runningS)
        : before.priming,
  };
  // Without a running input a pump that gives nothing may belong to a stopped engine: only one that fires is judged.
  const mayPrime = runningS <= mayPrimeForS(before.priming, kpa > leastRunningKpa);
  const judged = phase === 'running' ? running.primed || !mayPrime : running.primed && fires(signs);
  if (!judged) return { ...running, held: nothingHeld, drop: endDrop(before.drop) };
  const drop =
    runningS > dropsAfterS ? stepDrop(before.drop, before.memory, { ...signs, kpa }) : endDrop(before.drop);
  return learned(judge({ ...running, drop }, signs), signs);
}

/** What was learned before the zero was known is put right by it. */
function whileStopped(state: PumpState, readingKpa: number, dtS: number): PumpState {
  const zero = stepZero(state, readingKpa, dtS);
  const movedKpa = isZeroKnown(state) ? 0 : zero.zeroKpa - state.zeroKpa;
  return {
    ...state,
    ...zero,
    memory: movedKpa === 0 ? state.memory : aboveZero(state.memory, movedKpa),
    runningS: 0,
    primed: false,
    held: nothingHeld,
    drop: endDrop(state.drop),
    wellS: 0,
    found: undefined,
  };
}

/** Exhaust gas that only a running engine makes, and that does not fall. */
const fires = ({ gasC, gasSlopeCPerS }: PumpSigns): boolean =>
  gasC !== undefined && gasC > 220 && gasSlopeCPerS > -0.1;

const floorOf = (state: PumpState): number => {
  const idle = idleExpected(state.memory);
  return idle ? thresholdOf(idle, none, state) : leastRunningKpa;
};

/** Below it a rule is true, kPa; a zero that wandered explains what is missing, as long as it is not most of it. */
const leastShare = 0.4;
const thresholdOf = (
  { meanKpa, lowKpa }: Expected,
  { meanShare, lowShare }: Shares,
  zero: PumpZero,
): number =>
  Math.max(
    0,
    Math.min(
      meanShare * meanKpa,
      lowShare * Math.max(0, lowKpa),
      Math.max(leastShare * meanKpa, meanKpa - wanderKpa(zero)),
    ),
  );

function judge(state: PumpState, { dtS, gasC, gasSlopeCPerS, exhaust }: PumpSigns): PumpState {
  const kpa = state.kpa ?? 0;
  const floorKpa = floorOf(state);
  const here = gasC === undefined ? undefined : expectedAt(state.memory, gasC);
  // Exhaust gas lags: while it falls the throttle may have been closed, and the pump rightly gives less.
  const falls = gasSlopeCPerS <= -settledGasCPerS || (exhaust !== undefined && isFalling(exhaust));
  const knows = !falls && state.runningS > gasFollowsAfterS;
  const below = (rule: Shares) => here !== undefined && knows && kpa < thresholdOf(here, rule, state);
  const dropped = foundByDrop(state.drop);
  const levels = {
    'no-raw-water': kpa < floorKpa,
    'raw-water-lost': below(lost) || dropped === 'raw-water-lost',
    'raw-water-low': below(low) || dropped !== undefined,
  } as const;
  const nearly = here && nearlyAllOf(here, columnKpa(state.memory));
  const isNearlyAll = nearly !== undefined && below(nearly);
  const nothing = levels['no-raw-water'] || isNearlyAll;
  const doubtful = nothing || levels['raw-water-lost'];
  const flow = doubtful
    ? state.flow
    : state.flow + (flowAt(state.memory, kpa) - state.flow) * (1 - Math.exp(-dtS / flowTauS));
  const flowsAgain = !doubtful && !levels['raw-water-low'] && flowAt(state.memory, kpa) > backFlow * flow;
  const gulps = stepGulps(state.gulps, { lost: nothing, back: flowsAgain, flow, kpa, dtS });
  const gulpS = holdAfterGulps(gulps, flow);
  const isTrue: Readonly<Record<PumpRule, boolean>> = {
    ...levels,
    'raw-water-in-gulps': drawsAirAllTheTime(gulps, state.found?.rule === 'raw-water-in-gulps'),
  };
  const lostHoldS = Math.max(lost.holdS, gulpS);
  // Where nearly all is lost the time counts faster.
  const pace = (rule: PumpRule) =>
    rule === 'raw-water-lost' && isNearlyAll ? lostHoldS / Math.max(nearlyAll.holdS, gulpS) : 1;
  const held = Object.fromEntries(
    pumpRules.map((rule) => [rule, isTrue[rule] ? state.held[rule] + pace(rule) * dtS : 0]),
  ) as Record<PumpRule, number>;
  const holdS: Readonly<Record<PumpRule, number>> = {
    // No gulp explains a pump that has given nothing since the start.
    'no-raw-water': state.primed ? Math.max(none.holdS, gulpS) : 0,
    'raw-water-lost': lostHoldS,
    'raw-water-low': low.holdS,
    'raw-water-in-gulps': 0,
  };
  const rule = pumpRules.find((one) => isTrue[one] && (held[one] >= holdS[one] || one === dropped));
  const usualKpa = dropped && state.drop.usualKpa;
  const expectedKpa = usualKpa ?? here?.meanKpa ?? idleExpected(state.memory)?.meanKpa ?? leastRunningKpa;
  if (rule) {
    const priority = rule === 'raw-water-low' || rule === 'raw-water-in-gulps' ? 'warning' : 'alarm';
    const moreSevere = state.found?.priority === 'alarm' && priority === 'warning' ? state.found : undefined;
    return {
      ...state,
      flow,
      gulps,
      held,
      wellS: 0,
      found: moreSevere ?? { rule, priority, kpa, expectedKpa },
    };
  }
  const begins = doubtful || gulps.lostS > 0 || hasDropped(state.drop);
  if (!state.found) return { ...state, flow, gulps, held, wellS: begins ? 0 : state.wellS + dtS };
  const back = kpa > floorKpa * backShare && !isTrue['raw-water-low'] && !isTrue['raw-water-lost'];
  const wellS = back ? state.wellS + dtS : 0;
  return { ...state, flow, gulps, held, wellS, found: wellS >= backS ? undefined : state.found };
}

/** Learns from seconds that are surely normal: a settled load that is known, nothing found and nothing beginning. */
function learned(state: PumpState, { dtS, gasC, gasSlopeCPerS, phase }: PumpSigns): PumpState {
  const { kpa, runningS, wellS, memory } = state;
  if (kpa === undefined || phase !== 'running' || runningS < learnsAfterS || wellS < backS) return state;
  if (kpa < leastRunningKpa || dtS === 0 || gasC === undefined) return state;
  if (Math.abs(gasSlopeCPerS) >= settledGasCPerS) return state;
  const here = expectedAt(memory, gasC);
  if (here && kpa < leastLearnedPart * here.meanKpa) return state;
  return { ...state, memory: learn(memory, gasC, kpa, dtS) };
}

/**
 * Whether a loss of its pressure would be found while its engine runs, or has been. A probe that reads no more than a lost pump may
 * leave on it, with a zero that has wandered, shows nothing; nor does one whose zero is not known and could be all that it reads.
 */
export const findsLoss = (state: PumpState): boolean =>
  state.found !== undefined || (state.kpa ?? 0) > zeroErrorKpa(state);
