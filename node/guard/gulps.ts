/**
 * The gulps of air that an intake draws in a seaway: the pressure behind the pump goes as if all water were lost, and comes back by
 * itself within seconds. How long they last is the boat's own (depth of the intake, length of the line), so it is learnt.
 */
export type Gulps = {
  /** How long the present loss has lasted, s. */
  readonly lostS: number;
  /** The longest of late that ended by itself, s. */
  readonly longestS: number;
};

export const noGulps: Gulps = { lostS: 0, longestS: 0 };

/** A loss that lasts longer is no gulp, s; no source: five seconds of air at cruise are several litres. */
const longestGulpS = 5;
/** Forgotten over so many running seconds: some forty hours, a season of calm weather. */
const forgetsS = 144_000;
/** The next gulp may last longer than those before, by this factor and s. */
const longerBy = 1.25;
const longerS = 0.4;

/** Steps with one pass of `dtS` seconds in which the water seems lost, or not. */
export function stepGulps({ lostS, longestS }: Gulps, lost: boolean, dtS: number): Gulps {
  if (lost) return { lostS: lostS + dtS, longestS };
  const remembered = longestS * Math.exp(-dtS / forgetsS);
  return { lostS: 0, longestS: lostS > longestGulpS ? remembered : Math.max(remembered, lostS) };
}

/** How long a loss must last to be no gulp of this boat's, s; 0 where none was met, 6.65 at the most. */
export const holdAfterGulps = ({ longestS }: Gulps): number =>
  longestS === 0 ? 0 : longerBy * longestS + longerS;
