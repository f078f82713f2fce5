import {
  type Bin,
  binOf,
  bins,
  type ElbowBaseline,
  expectedRiseK,
  type LevelChange,
  ledRiseK,
  meanTauS,
  regressors,
  settledS,
} from './baseline.js';
import { type ColdIdle, hasLeftColdIdle, isOpening } from './cold-idle.js';
import { type ExhaustMemory, isThrottledBack } from './exhaust-memory.js';
import { huberRegression, quantile } from './huber-regression.js';
import { isLevelMoment, levelAfterS } from './level-change.js';
import { highestOfTrip, nearlyHighest, tripsOf } from './reached-twice.js';
import { isSurgeOver, mayBeSurging } from './throttle-back-surge.js';
import { reachedByTwoTrips } from './two-trips.js';

/** One second of normal running, as the guard saw it. */
export type NormalSecond = {
  /** When it was, by the guard's clock, ms. */
  readonly atMs: number;
  readonly riseK: number;
  readonly slopeCPerS: number;
  readonly exhaust: ExhaustMemory;
  /** The sea then, C. */
  readonly seaC: number;
  /** How long the engine had warmed through, s. */
  readonly warmS: number;
  /** Since the engine was started, s. */
  readonly sinceStartS: number;
  /** Exhaust gas less the other engine's, while both run. */
  readonly twinExhaustK?: number;
};

/** Robust fit of the rise over the sea on the exhaust gas; `leadS` must be the detector's own. Needs 300 s at least. */
export function fitBaseline(seconds: readonly NormalSecond[], leadS: number): ElbowBaseline {
  if (seconds.length < 300)
    throw new RangeError(`A baseline needs 300 s of running or more; here are ${seconds.length} s.`);
  const seaC = seaOf(seconds);
  const rows = seconds.map((second) => regressors(second.exhaust, second.seaC - seaC.middle));
  const y = seconds.map((second) => second.riseK);
  const coefficients = huberRegression(rows, y);
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (const { exhaust } of seconds) {
    min = Math.min(min, exhaust.a);
    max = Math.max(max, exhaust.a);
  }
  const trips = tripsOf(seconds);
  const highestOf = (riseOf: (second: NormalSecond) => number) =>
    nearlyHighest(trips.map((trip) => highestOfTrip(trip, riseOf)));
  const highestRiseK = highestOf(({ riseK }) => riseK);
  const highestLedRiseK = highestOf(({ riseK, slopeCPerS, exhaust }) =>
    ledRiseK(riseK, slopeCPerS, leadS, exhaust),
  );
  const bare: ElbowBaseline = {
    coefficients,
    gasC: { min, max },
    seaC,
    highestRiseK,
    highestLedRiseK,
    spread: noSpread,
  };
  const residuals: Record<Bin, number[]> = {
    'warm-up': [],
    'falling-fast': [],
    falling: [],
    steady: [],
    rising: [],
    'rising-fast': [],
  };
  for (const second of seconds) {
    const expectedK = expectedRiseK(bare, second.exhaust, second.seaC);
    const { exhaust, warmS, riseK, slopeCPerS } = second;
    residuals[binOf(exhaust, warmS)].push(ledRiseK(riseK, slopeCPerS, leadS, exhaust) - expectedK);
  }
  const afterSurgeK = afterSurgeOf(seconds, bare, leadS);
  const coldIdle = coldIdleOf(seconds, bare, leadS);
  const levelChange = levelChangeOf(seconds, bare, leadS);
  const spread = Object.fromEntries(
    bins.map((bin) => [
      bin,
      { q998K: Math.max(0, quantile(residuals[bin], 0.998)), seconds: residuals[bin].length },
    ]),
  ) as ElbowBaseline['spread'];
  const twinExhaust = twinExhaustOf(seconds);
  const steadyMeanK = steadyMeanOf(seconds, bare, leadS);
  const ofTwoTrips = reachedByTwoTrips(seconds);
  const rates = seconds.map(({ slopeCPerS, exhaust }) => (isThrottledBack(exhaust) ? 0 : slopeCPerS));
  return {
    ...bare,
    spread,
    fastestCPerS: Math.max(0, quantile(rates, 0.999)),
    steadyMeanK,
    ...(ofTwoTrips && { ofTwoTrips }),
    ...(afterSurgeK !== undefined && { afterSurgeK }),
    ...(coldIdle && { coldIdle }),
    ...(levelChange && { levelChange }),
    ...(twinExhaust && { twinExhaust }),
  };
}

function seaOf(seconds: readonly NormalSecond[]): NonNullable<ElbowBaseline['seaC']> {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (const { seaC } of seconds) {
    min = Math.min(min, seaC);
    max = Math.max(max, seaC);
    sum += seaC;
  }
  return { min, max, middle: sum / seconds.length };
}

/** How high the detector's own mean of the residual gets in steady running, after its first minute. */
function steadyMeanOf(seconds: readonly NormalSecond[], bare: ElbowBaseline, leadS: number): number {
  let [meanK, steadyS, highestK] = [0, 0, 0];
  for (const { riseK, slopeCPerS, exhaust, seaC, warmS } of seconds) {
    const residualK = ledRiseK(riseK, slopeCPerS, leadS, exhaust) - expectedRiseK(bare, exhaust, seaC);
    meanK += (residualK - meanK) * (1 - Math.exp(-1 / meanTauS));
    steadyS = binOf(exhaust, warmS) === 'steady' ? steadyS + 1 : 0;
    if (steadyS > settledS) highestK = Math.max(highestK, meanK);
  }
  return highestK;
}

/** The spread while gas falls and no surge holds the elbow up, K; undefined of less than two minutes. */
function afterSurgeOf(
  seconds: readonly NormalSecond[],
  bare: ElbowBaseline,
  leadS: number,
): number | undefined {
  let [sinceThrottledBackS, over] = [Number.POSITIVE_INFINITY, false];
  const residuals: number[] = [];
  for (const { riseK, slopeCPerS, exhaust, seaC, warmS } of seconds) {
    const expectedK = expectedRiseK(bare, exhaust, seaC);
    sinceThrottledBackS = isThrottledBack(exhaust) ? 0 : sinceThrottledBackS + 1;
    over = isSurgeOver(over, { sinceThrottledBackS, slopeCPerS }, riseK - expectedK);
    const bin = binOf(exhaust, warmS);
    if ((bin === 'falling' || bin === 'falling-fast') && !mayBeSurging({ sinceThrottledBackS }, over))
      residuals.push(ledRiseK(riseK, slopeCPerS, leadS, exhaust) - expectedK);
  }
  return residuals.length < 120 ? undefined : Math.max(0, quantile(residuals, 0.998));
}

/** Seconds below which a spread means nothing. */
const leastLevelS = 300;

/** How far the led residual leaves its own mean while the gas is level; undefined of less than five minutes of steady running. */
function levelChangeOf(
  seconds: readonly NormalSecond[],
  bare: ElbowBaseline,
  leadS: number,
): LevelChange | undefined {
  let [meanK, levelS, sinceThrottledBackS, over] = [0, 0, Number.POSITIVE_INFINITY, false];
  const steady: number[] = [];
  const settling: number[] = [];
  for (const { riseK, slopeCPerS, exhaust, seaC, warmS } of seconds) {
    const expectedK = expectedRiseK(bare, exhaust, seaC);
    const residualK = ledRiseK(riseK, slopeCPerS, leadS, exhaust) - expectedK;
    sinceThrottledBackS = isThrottledBack(exhaust) ? 0 : sinceThrottledBackS + 1;
    over = isSurgeOver(over, { sinceThrottledBackS, slopeCPerS }, riseK - expectedK);
    const bin = binOf(exhaust, warmS);
    const level = isLevelMoment(exhaust, bin) && !mayBeSurging({ sinceThrottledBackS }, over);
    levelS = level ? levelS + 1 : 0;
    if (levelS > levelAfterS) (bin === 'steady' ? steady : settling).push(residualK - meanK);
    meanK += (residualK - meanK) * (1 - Math.exp(-1 / meanTauS));
  }
  if (steady.length < leastLevelS) return undefined;
  const steadyK = Math.max(0, quantile(steady, 0.998));
  const settlingK = Math.max(steadyK, quantile(settling, 0.998));
  return { steadyK, settlingK };
}

/** Cold starts that have to be seen before anything is said of them, and for as long as so many lasted it is known. */
const coldStartsWanted = 3;
const leastColdIdleS = 60;

/** What cold starts show until the throttle is first opened; undefined of fewer than three that idled for a minute. */
function coldIdleOf(
  seconds: readonly NormalSecond[],
  bare: ElbowBaseline,
  leadS: number,
): ColdIdle | undefined {
  let left: boolean | undefined = false;
  let beforeS = Number.POSITIVE_INFINITY;
  const residuals: number[] = [];
  // Of each start.
  const lasted: number[] = [];
  const highestK: number[] = [];
  for (const { riseK, slopeCPerS, exhaust, seaC, warmS, sinceStartS } of seconds) {
    if (sinceStartS < beforeS) {
      left = false;
      lasted.push(0);
      highestK.push(0);
    }
    beforeS = sinceStartS;
    left = hasLeftColdIdle(left, { phase: 'running', exhaust, warmS, sinceStartS }, bare.gasC);
    if (left || isOpening(exhaust, sinceStartS) || binOf(exhaust, warmS) !== 'warm-up') continue;
    lasted[lasted.length - 1] = sinceStartS;
    highestK[highestK.length - 1] = Math.max(highestK.at(-1) ?? 0, riseK);
    residuals.push(ledRiseK(riseK, slopeCPerS, leadS, exhaust) - expectedRiseK(bare, exhaust, seaC));
  }
  const untilS = lasted.toSorted((a, b) => b - a)[coldStartsWanted - 1] ?? 0;
  if (untilS < leastColdIdleS) return undefined;
  return { q998K: Math.max(0, quantile(residuals, 0.998)), highestRiseK: nearlyHighest(highestK), untilS };
}

/** Middle and robust spread of the steady seconds; nothing of fewer than five minutes. */
function twinExhaustOf(seconds: readonly NormalSecond[]): ElbowBaseline['twinExhaust'] {
  const apart = seconds.flatMap(({ twinExhaustK, exhaust, warmS }) =>
    twinExhaustK !== undefined && binOf(exhaust, warmS) === 'steady' ? [twinExhaustK] : [],
  );
  if (apart.length < 300) return undefined;
  const middleK = quantile(apart, 0.5);
  const spreadK = Math.max(
    3,
    1.4826 *
      quantile(
        apart.map((k) => Math.abs(k - middleK)),
        0.5,
      ),
  );
  return { middleK, spreadK };
}

const noSpread = Object.fromEntries(
  bins.map((bin) => [bin, { q998K: 0, seconds: 0 }]),
) as ElbowBaseline['spread'];
