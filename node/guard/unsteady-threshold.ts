import type { ElbowBaseline } from './baseline.js';
import type { ExhaustMemory } from './exhaust-memory.js';

/** Where commissioning did not keep the led rise, the highest rise and this much, K. */
const ledMoreK = 2;
/** Above the highest led rise that normal running showed, K: a step or two of a 10-bit converter. */
const aboveHighestK = 1;
/**
 * Gases of two engines within this of each other, now and as they were for two minutes, belong to engines driven alike: K, or part of
 * their temperature in C. Their probes sit differently, and a turbine whose elbow loses its water makes hotter gas.
 */
const alikeK = 40;
const alikeShare = 0.15;
/** Thermostats of twins do not open in the same second, so that an unsteady elbow may leave its twin by this many thresholds. */
const apartFromTwin = 2;

/**
 * What the elbow of another engine shows at the same time: its half-minute residual, its led residual of now, K, its gas, and how long
 * ago its engine was started, s.
 */
export type OtherElbow = {
  readonly meanK: number;
  readonly residualK: number;
  readonly exhaust: ExhaustMemory | undefined;
  readonly sinceStartS?: number;
};

/** Whether the other engine makes about the same gas, now and as it was for two minutes. */
export const isDrivenAlike = (exhaust: ExhaustMemory, other: OtherElbow | undefined): other is OtherElbow =>
  other?.exhaust !== undefined && isNear(other.exhaust.a, exhaust.a) && isNear(other.exhaust.c, exhaust.c);

const isNear = (oneC: number, otherC: number): boolean =>
  Math.abs(oneC - otherC) < Math.max(alikeK, alikeShare * otherC);

export type UnsteadyMoment = {
  /** The threshold of this kind of moment, and the one of gas that moves so on a warm engine, K. */
  readonly usualK: number;
  readonly movingK: number;
  readonly expectedK: number;
  readonly exhaust: ExhaustMemory;
  readonly baseline: ElbowBaseline;
  readonly other: OtherElbow | undefined;
};

/**
 * The threshold outside of steady running, K. There an elbow also moves by the heat that coolant and metal have stored: when a
 * thermostat opens, after the throttle is closed, on a cold engine driven hard. The gas knows nothing of it, and six trips show
 * it only six times. So a residual is believed once the led rise passes the highest that normal running showed; or earlier,
 * where a twin that is driven alike does not do likewise.
 */
export function unsteadyThresholdK({
  usualK,
  movingK,
  expectedK,
  exhaust,
  baseline,
  other,
}: UnsteadyMoment): number {
  const { highestRiseK, highestLedRiseK = highestRiseK + ledMoreK } = baseline;
  const beyondNormalK = highestLedRiseK + aboveHighestK - expectedK;
  const beyondTwinK = isDrivenAlike(exhaust, other)
    ? apartFromTwin * Math.max(usualK, movingK) + Math.max(0, other.residualK)
    : Number.POSITIVE_INFINITY;
  return Math.max(usualK, Math.min(beyondNormalK, beyondTwinK));
}
