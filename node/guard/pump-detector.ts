import { type Gulps, holdAfterGulps, noGulps, stepGulps } from './gulps.js';
import { expectedAt, idleExpected, learn, nothingLearnt, type PumpMemory } from './pump-memory.js';

/** What is known of one raw-water pump by the pressure behind it. Plain data; survives a restart. */
export type PumpState = {
  /** Smoothed gauge pressure above its zero; undefined before the first reading. */
  readonly kpa: number | undefined;
  /** What the probe reads while the pump is stopped. */
  readonly zeroKpa: number;
  readonly stoppedS: number;
  /** Since the engine runs: how long, and whether the pump has been seen to give water. */
  readonly runningS: number;
  readonly primed: boolean;
  readonly memory: PumpMemory;
  /** The gulps of air that this intake draws; absent in states of 0.2.0 and before. */
  readonly gulps?: Gulps;
  /** How long each rule has been true, s. */
  readonly held: Readonly<Record<PumpRule, number>>;
  /** How long all has been well, s. */
  readonly wellS: number;
  readonly found: PumpFinding | undefined;
};

export const pumpRules = ['no-raw-water', 'raw-water-lost', 'raw-water-low'] as const;
export type PumpRule = (typeof pumpRules)[number];

export type PumpFinding = {
  readonly rule: PumpRule;
  readonly priority: 'warning' | 'alarm';
  readonly kpa: number;
  readonly expectedKpa: number;
};

const nothingHeld = { 'no-raw-water': 0, 'raw-water-lost': 0, 'raw-water-low': 0 } as const;

export const pumpAtRest: PumpState = {
  kpa: undefined,
  zeroKpa: 0,
  stoppedS: 0,
  runningS: 0,
  primed: false,
  memory: nothingLearnt,
  gulps: noGulps,
  held: nothingHeld,
  wellS: 0,
  found: undefined,
};

/** What bears on one pump in one pass. */
export type PumpSigns = {
  readonly readingKpa: number | undefined;
  readonly phase: 'stopped' | 'running' | 'unsure';
  /** Exhaust gas, C: shows the load. Without it nothing is learnt, and only a pump that gives next to nothing is found. */
  readonly gasC: number | undefined;
  /** Of the exhaust gas, K/s. */
  readonly gasSlopeCPerS: number;
  readonly dtS: number;
};

/** Takes the pulse of the vanes and the noise of a 10-bit converter out, s. */
const smoothS = 0.25;
/** Zero is taken from a minute after a stop, slowly; further off than this the probe or its port is at fault, kPa. */
const zeroAfterS = 60;
const zeroTauS = 30;
export const mostZeroKpa = 10;
/** Before anything is learnt, a running pump gives more than this (0.2 m of water; common practice, no source), kPa. */
const leastRunningKpa = 2;
/** A pump that lay dry needs some seconds to prime. Rubber impellers: 20 s dry are too many (common practice, no source). */
const primesWithinS = 12;
/** Learning begins when start and priming are over; gas that changes faster belongs to no load, s and K/s. */
const learnsAfterS = 25;
const settledGasCPerS = 0.8;
/** At a hot restart the gas probe shows the load of before for this long: pumps on the second invented plant were 4 to 6 s behind it, s. */
const gasFollowsAfterS = 20;

/**
 * How far below normal, and for how long. A draught of air in a seaway takes half of the flow for up to three seconds, and
 * the water needs two more to come back, on the invented plants: 1.6 s made 12 false alarms in 36 hours of the second
 * (seeds 9401 to 9415). Half of the flow leaves more than a quarter of the pressure, so less than that is believed sooner.
 */
const lost = { meanShare: 0.45, lowShare: 0.7, holdS: 6 } as const;
const nearlyAll = { meanShare: 0.22, lowShare: 0.35, holdS: 1.4 } as const;
const low = { meanShare: 0.65, lowShare: 0.85, holdS: 8 } as const;
/** Below what the pump gives at the least load: no change of throttle explains it. */
const none = { meanShare: 0.62, lowShare: 0.8, holdS: 1.8 } as const;
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
  const primed = before.primed || kpa > floorOf(before.memory);
  // Without a running input a pump that gives nothing may belong to a stopped engine: only one that fires is judged.
  const judged = phase === 'running' ? primed || runningS > primesWithinS : primed && fires(signs);
  const running = { ...before, kpa, runningS, primed, stoppedS: 0 };
  if (!judged) return { ...running, held: nothingHeld };
  return learned(judge(running, signs), signs);
}

const whileStopped = (state: PumpState, readingKpa: number, dtS: number): PumpState => {
  const stoppedS = state.stoppedS + dtS;
  const believable = stoppedS > zeroAfterS && Math.abs(readingKpa) <= mostZeroKpa;
  const zeroKpa = believable
    ? state.zeroKpa + (readingKpa - state.zeroKpa) * (1 - Math.exp(-dtS / zeroTauS))
    : state.zeroKpa;
  return {
    ...state,
    zeroKpa,
    stoppedS,
    runningS: 0,
    primed: false,
    held: nothingHeld,
    wellS: 0,
    found: undefined,
  };
};

/** Exhaust gas that only a running engine makes, and that does not fall. */
const fires = ({ gasC, gasSlopeCPerS }: PumpSigns): boolean =>
  gasC !== undefined && gasC > 220 && gasSlopeCPerS > -0.1;

const floorOf = (memory: PumpMemory): number => {
  const idle = idleExpected(memory);
  return idle ? thresholdOf(idle, none) : leastRunningKpa;
};

const thresholdOf = (
  { meanKpa, lowKpa }: { readonly meanKpa: number; readonly lowKpa: number },
  { meanShare, lowShare }: { readonly meanShare: number; readonly lowShare: number },
): number => Math.max(0, Math.min(meanShare * meanKpa, lowShare * Math.max(0, lowKpa)));

function judge(state: PumpState, { dtS, gasC, gasSlopeCPerS }: PumpSigns): PumpState {
  const kpa = state.kpa ?? 0;
  const floorKpa = floorOf(state.memory);
  const here = gasC === undefined ? undefined : expectedAt(state.memory, gasC);
  // Exhaust gas lags: while it falls the throttle may have been closed, and the pump rightly gives less.
  const knows = gasSlopeCPerS > -settledGasCPerS && state.runningS > gasFollowsAfterS;
  const below = (rule: typeof lost | typeof nearlyAll | typeof low) =>
    here !== undefined && knows && kpa < thresholdOf(here, rule);
  const isTrue: Readonly<Record<PumpRule, boolean>> = {
    'no-raw-water': kpa < floorKpa,
    'raw-water-lost': below(lost),
    'raw-water-low': below(low),
  };
  const gulps = stepGulps(state.gulps ?? noGulps, isTrue['no-raw-water'] || isTrue['raw-water-lost'], dtS);
  const gulpS = holdAfterGulps(gulps);
  const lostHoldS = Math.max(lost.holdS, gulpS);
  // Where nearly all is lost the time counts faster.
  const pace = (rule: PumpRule) =>
    rule === 'raw-water-lost' && below(nearlyAll) ? lostHoldS / Math.max(nearlyAll.holdS, gulpS) : 1;
  const held = Object.fromEntries(
    pumpRules.map((rule) => [rule, isTrue[rule] ? state.held[rule] + pace(rule) * dtS : 0]),
  ) as Record<PumpRule, number>;
  const holdS: Readonly<Record<PumpRule, number>> = {
    'no-raw-water': Math.max(none.holdS, gulpS),
    'raw-water-lost': lostHoldS,
    'raw-water-low': low.holdS,
  };
  const rule = pumpRules.find((one) => held[one] >= holdS[one]);
  const expectedKpa = here?.meanKpa ?? idleExpected(state.memory)?.meanKpa ?? leastRunningKpa;
  if (rule) {
    const priority = rule === 'raw-water-low' ? 'warning' : 'alarm';
    const graver = state.found?.priority === 'alarm' && priority === 'warning' ? state.found : undefined;
    return { ...state, gulps, held, wellS: 0, found: graver ?? { rule, priority, kpa, expectedKpa } };
  }
  if (!state.found) return { ...state, gulps, held, wellS: state.wellS + dtS };
  const back = kpa > floorKpa * backShare && !isTrue['raw-water-low'] && !isTrue['raw-water-lost'];
  const wellS = back ? state.wellS + dtS : 0;
  return { ...state, gulps, held, wellS, found: wellS >= backS ? undefined : state.found };
}

/** Learns from seconds that are surely normal: a settled load that is known, nothing found and nothing beginning. */
function learned(state: PumpState, { dtS, gasC, gasSlopeCPerS, phase }: PumpSigns): PumpState {
  const { kpa, runningS, wellS, memory } = state;
  if (kpa === undefined || phase !== 'running' || runningS < learnsAfterS || wellS < backS) return state;
  if (kpa < leastRunningKpa || dtS === 0 || gasC === undefined) return state;
  if (Math.abs(gasSlopeCPerS) >= settledGasCPerS) return state;
  return { ...state, memory: learn(memory, gasC, kpa, dtS) };
}

/** Whether a stopped engine's probe shows a pressure that cannot be: its port is blocked, or it has drifted. */
export const isStuckUp = ({ stoppedS, kpa, zeroKpa }: PumpState): boolean =>
  stoppedS > 2 * zeroAfterS && kpa !== undefined && Math.abs(kpa + zeroKpa) > mostZeroKpa;
