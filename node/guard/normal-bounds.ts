import type { NormalSecond } from './fit-baseline.js';

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

/** Heat that coolant and metal have stored makes an elbow as warm as the gas of lately would. */
const gasOf = ({ a, c }: NormalSecond['exhaust']): number => Math.max(a, c);

const partOf = (gasC: number, { min, max }: NormalBounds['gasC']): number =>
  Math.max(0, Math.min(boundParts - 1, Math.floor((boundParts * (gasC - min)) / Math.max(1, max - min))));

/** The bounds of these seconds, which follow one another as they were recorded. */
export function normalBounds(seconds: readonly NormalSecond[], gasC: NormalBounds['gasC']): NormalBounds {
  const risesK = new Array<number>(boundParts).fill(0);
  for (let i = stayedS - 1; i < seconds.length; i++) {
    const stretch = seconds.slice(i - stayedS + 1, i + 1);
    const part = Math.max(...stretch.map(({ exhaust }) => partOf(gasOf(exhaust), gasC)));
    risesK[part] = Math.max(risesK[part] ?? 0, Math.min(...stretch.map(({ riseK }) => riseK)));
  }
  let highestK = 0;
  return {
    gasC,
    risesK: risesK.map((riseK) => {
      highestK = Math.max(highestK, riseK);
      return highestK;
    }),
  };
}

/** The highest rise that lasted at this gas or a colder one, K. Beyond the gas that was met it is that of the hottest. */
export const boundedRiseK = (bounds: NormalBounds, exhaust: NormalSecond['exhaust']): number =>
  bounds.risesK[partOf(gasOf(exhaust), bounds.gasC)] ?? 0;
