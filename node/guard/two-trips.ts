import { type ExhaustMemory, isThrottledBack } from './exhaust-memory.js';
import { highestOfTrip, reachedTwice, tripsOf, tripsWanted } from './reached-twice.js';

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
  const trips = tripsOf(seconds);
  return trips.length < tripsWanted
    ? undefined
    : {
        highestRiseK: reachedTwice(trips.map((trip) => highestOfTrip(trip, ({ riseK }) => riseK))),
        fastestCPerS: reachedTwice(trips.map((trip) => highestOfTrip(trip, lastedCPerS))),
      };
}

const lastedCPerS = ({ atMs, slopeCPerS, exhaust }: Second, before: Second | undefined): number =>
  before && atMs - before.atMs <= lastsS * 1000 && !isThrottledBack(exhaust)
    ? Math.min(before.slopeCPerS, slopeCPerS)
    : 0;
