import type { ExhaustMemory } from './exhaust-memory.js';
import type { RunPhase } from './running.js';

/** What the detectors see of one wet elbow at one pass. */
export type ElbowView = {
  readonly elbowC: number;
  readonly slopeCPerS: number;
  /** Last known sea temperature; absent when no sea probe has ever answered. */
  readonly seaC: number | undefined;
  readonly exhaust: ExhaustMemory | undefined;
  readonly phase: RunPhase;
  /** Since the engine was started (or first seen, when unsure), s. */
  readonly sinceStartS: number;
  /** How long the engine has warmed through, s: time running, less what it has cooled since; see `engine.ts`. */
  readonly warmS: number;
  /** Since the gas last fell as after a throttle that was closed, s. */
  readonly sinceThrottledBackS: number;
  /** How hot soaked-up heat lets the elbow be after a start, C. */
  readonly allowedC?: number | undefined;
  readonly mounting: 'strap-on' | 'well' | 'free';
  readonly dtS: number;
};

/** From a closed throttle until the thermostat has closed too and the ring has cooled after it, s. */
const surgeLastsS = 120;

/** Whether a throttle-back surge, warm water after a closed throttle, may still hold the elbow up (see `isThrottledBack`). */
export const inThrottleBackSurge = ({
  sinceThrottledBackS,
}: Pick<ElbowView, 'sinceThrottledBackS'>): boolean => sinceThrottledBackS < surgeLastsS;

/** Seconds until `limitC` at the present rate; Infinity when it is not approached. */
export const secondsTo = ({ elbowC, slopeCPerS }: ElbowView, limitC: number): number =>
  elbowC >= limitC ? 0 : slopeCPerS > 0 ? (limitC - elbowC) / slopeCPerS : Number.POSITIVE_INFINITY;
