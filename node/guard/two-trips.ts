import { type ExhaustMemory, isThrottledBack } from './exhaust-memory.js';
import { tripEndsS, tripsWanted } from './reached-twice.js';

/** What at least two trips of commissioning reached, so that no single incident, such as weed in the intake, made it. */
export type TwoTrips = {
  /** Highest rise over the sea, K. */
  readonly highestRiseK: number;
  /** Fastest rise that lasted two seconds, but for closed throttles, K/s. */
  readonly fastestCPerS: number;
};

/** What is asked of a second of normal running. */
type Second = {
  readonly atMs: number;
  readonly riseK: number;
  readonly slopeCPerS: number;
  readonly exhaust: ExhaustMemory;
};

/** As the forecast of a passed limit waits; a slope that comes and goes sooner is noise or a gulp of air, s. */
const lastsS = 2;

/** `seconds` follow one another as they were recorded. Undefined of fewer than four trips. */
export function reachedByTwoTrips(seconds: readonly Second[]): TwoTrips | undefined {
  const [risesK, rates]: [number[], number[]] = [[], []];
  let before: Second | undefined;
  for (const second of seconds) {
    const gapS = before ? (second.atMs - before.atMs) / 1000 : Number.POSITIVE_INFINITY;
    if (gapS > tripEndsS) {
      risesK.push(0);
      rates.push(0);
    }
    const trip = risesK.length - 1;
    risesK[trip] = Math.max(risesK[trip] ?? 0, second.riseK);
    if (before && gapS <= lastsS && !isThrottledBack(second.exhaust))
      rates[trip] = Math.max(rates[trip] ?? 0, Math.min(before.slopeCPerS, second.slopeCPerS));
    before = second;
  }
  if (risesK.length < tripsWanted) return undefined;
  return { highestRiseK: secondHighest(risesK), fastestCPerS: secondHighest(rates) };
}

const secondHighest = (values: readonly number[]): number => values.toSorted((a, b) => b - a)[1] ?? 0;
