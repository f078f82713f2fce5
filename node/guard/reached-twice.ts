/** A stop longer than this ends a trip; common practice, no source, s. */
const tripEndsS = 1800;
/** Of fewer trips the second highest may be of one that never left the harbour. */
export const tripsWanted = 4;

/** The seconds of each trip; they follow one another as they were recorded, by the guard's clock. */
export function tripsOf<Second extends { readonly atMs: number }>(
  seconds: readonly Second[],
): readonly (readonly Second[])[] {
  const trips: Second[][] = [];
  let beforeMs = Number.NaN;
  for (const second of seconds) {
    const apartMs = second.atMs - beforeMs;
    const trip = apartMs >= 0 && apartMs <= tripEndsS * 1000 ? trips.at(-1) : undefined;
    if (trip) trip.push(second);
    else trips.push([second]);
    beforeMs = second.atMs;
  }
  return trips;
}

/** The highest value of one trip, 0 at the least; `before` is the second before, in the same trip. */
export const highestOfTrip = <Second>(
  trip: readonly Second[],
  measure: (second: Second, before: Second | undefined) => number,
): number => trip.reduce((highest, second, index) => Math.max(highest, measure(second, trip[index - 1])), 0);

/** A season has rougher moments than five of six trips: so much of what one trip alone reached counts, K. */
export const aloneMoreK = 6;

/**
 * What at least two trips reached, of the highest value of each: weed or a bag on one trip is no part of normal running. Of fewer than
 * two 0.
 */
export const reachedTwice = (highestOfTrips: readonly number[]): number =>
  highestOfTrips.toSorted((a, b) => b - a)[1] ?? 0;

/** The highest value of all trips, but little more than what two of them reached; of fewer than four trips the highest. */
export function nearlyHighest(highestOfTrips: readonly number[]): number {
  const highest = Math.max(0, ...highestOfTrips);
  return highestOfTrips.length < tripsWanted
    ? highest
    : Math.min(highest, reachedTwice(highestOfTrips) + aloneMoreK);
}
