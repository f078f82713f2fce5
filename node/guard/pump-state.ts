import { type Gulps, noGulps } from './gulps.js';
import { neverPrimed, type Priming } from './priming.js';
import { noAnswers, noDrop, type PumpDrop } from './pump-drop.js';
import { nothingLearned, type PumpMemory } from './pump-memory.js';
import { type PumpZero, unknownZero, zeroAfterRestart } from './pump-zero.js';

/** What is known of one raw-water pump by the pressure behind it. Plain data; survives a restart. */
export type PumpState = PumpZero & {
  /** Smoothed gauge pressure above its zero; undefined before the first reading. */
  readonly kpa: number | undefined;
  /** Of full flow, before the present loss if there is one: what it would move. */
  readonly flow: number;
  /** Since the engine runs: how long, whether the pump has been seen to give water, and whether it did not at first. */
  readonly runningS: number;
  readonly primed: boolean;
  readonly beganDry: boolean;
  readonly priming: Priming;
  readonly memory: PumpMemory;
  readonly gulps: Gulps;
  readonly drop: PumpDrop;
  /** How long each rule has been true, s. */
  readonly held: Readonly<Record<PumpRule, number>>;
  /** How long all has been well, s. */
  readonly wellS: number;
  readonly found: PumpFinding | undefined;
};

export const pumpRules = ['no-raw-water', 'raw-water-lost', 'raw-water-low', 'raw-water-in-gulps'] as const;
export type PumpRule = (typeof pumpRules)[number];

export type PumpFinding = {
  readonly rule: PumpRule;
  readonly priority: 'warning' | 'alarm';
  readonly kpa: number;
  readonly expectedKpa: number;
};

export const nothingHeld = {
  'no-raw-water': 0,
  'raw-water-lost': 0,
  'raw-water-low': 0,
  'raw-water-in-gulps': 0,
} as const;

export const pumpAtRest: PumpState = {
  ...unknownZero,
  kpa: undefined,
  flow: 1,
  runningS: 0,
  primed: false,
  beganDry: false,
  priming: neverPrimed,
  memory: nothingLearned,
  gulps: noGulps,
  drop: noDrop,
  held: nothingHeld,
  wellS: 0,
  found: undefined,
};

/** After a restart of the guard, what was learned and the zero stay; whether water comes is to be seen again. */
export const pumpAfterRestart = (
  before: Partial<PumpState> & { /** As version 0.2 kept it. */ readonly memories?: { gas?: PumpMemory } },
): PumpState => ({
  ...pumpAtRest,
  ...zeroAfterRestart(before),
  memory: before.memory ?? before.memories?.gas ?? nothingLearned,
  priming: before.priming ?? neverPrimed,
  gulps: { ...noGulps, largestFlowS: before.gulps?.largestFlowS ?? 0, seen: before.gulps?.seen ?? 0 },
  drop: { ...noDrop, answers: before.drop?.answers ?? noAnswers },
  found: before.found,
});
