import type { NormalSecond } from './fit-baseline.js';
import { aloneMoreK, reachedTwice, tripsOf, tripsWanted } from './reached-twice.js';

/**
 * How far an elbow stayed above the sea in normal running, by its gas: what is left to guard with where it spreads too far for
 * anything finer. Rises in equal parts of the span of gas, of the coldest part first, none lower than the one before, K.
 */
export type NormalBounds = {
  readonly gasC: { readonly min: number; readonly max: number };
  readonly risesK: readonly number[];
};

/** Idle, cruise and wide open lie in parts of their own, and six trips fill each. */
export const boundParts = 6;
/** As long as the rule that is held against these bounds waits, s: a gulp of air that is over sooner is no part of them. */
const stayedS = 8;
/** Nor is an elbow that its water cools, as after a hot restart: that rule does not judge it, K/s. */
const coolingCPerS = -0.1;

/** Heat that coolant and metal have stored makes an elbow as warm as the gas of lately would. */
const gasOf = ({ a, c }: NormalSecond['exhaust']): number => Math.max(a, c);

const partOf = (gasC: number, { min, max }: NormalBounds['gasC']): number =>
  Math.max(0, Math.min(boundParts - 1, Math.floor((boundParts * (gasC - min)) / Math.max(1, max - min))));

/**
 * The bounds of these seconds, which follow one another as they were recorded: what two trips reached. Gas that only one met counts with
 * some kelvin more than the colder gas; of fewer than four trips the highest counts.
 */
export function normalBounds(seconds: readonly NormalSecond[], gasC: NormalBounds['gasC']): NormalBounds {
  const trips = tripsOf(seconds).map((trip) => risesOf(trip, gasC));
  const few = trips.length < tripsWanted;
  let highestK = 0;
  return {
    gasC,
    risesK: Array.from({ length: boundParts }, (_, part) => {
      const met = trips.flatMap((risesK) => risesK[part] ?? []);
      const mostK = Math.max(0, ...met);
      const boundK = few ? mostK : Math.max(reachedTwice(met), Math.min(mostK, highestK + aloneMoreK));
      highestK = Math.max(highestK, boundK);
      return highestK;
    }),
  };
}

/** The highest rise that lasted, in each part of the gas that was met, K. */
function risesOf(trip: readonly NormalSecond[], gasC: NormalBounds['gasC']): readonly (number | undefined)[] {
  const risesK = new Array<number | undefined>(boundParts).fill(undefined);
  for (let i = stayedS - 1; i < trip.length; i++) {
    const stretch = trip.slice(i - stayedS + 1, i + 1);
    if (stretch.some(({ slopeCPerS }) => slopeCPerS < coolingCPerS)) continue;
    const part = Math.max(...stretch.map(({ exhaust }) => partOf(gasOf(exhaust), gasC)));
    risesK[part] = Math.max(risesK[part] ?? 0, Math.min(...stretch.map(({ riseK }) => riseK)));
  }
  return risesK;
}

/** The highest rise that lasted at this gas or a colder one, K. Beyond the gas that was met it is that of the hottest. */
export const boundedRiseK = (bounds: NormalBounds, exhaust: NormalSecond['exhaust']): number =>
  bounds.risesK[partOf(gasOf(exhaust), bounds.gasC)] ?? 0;
