/** How long this boat's pump has taken to give water after starts; plain data. */
export type Priming = { readonly starts: number; readonly longestS: number };

export const neverPrimed: Priming = { starts: 0, longestS: 0 };

/**
 * A pump that lay dry needs some seconds to prime. Rubber impellers: 20 s dry are too many (common practice, no source), so that only a boat
 * whose line drains between trips is given more than 12, and 25 at the most.
 */
const primesWithinS = { unknown: 12, least: 5, most: 25 } as const;
/** From so many starts on, a boat's own time is believed; twice its longest, for a line that has drained further than ever. */
const provenByStarts = 6;
const longerBy = 2;
/** The longest is forgotten by this part with each start, so that one slow start is no habit. */
const forgets = 0.03;

/**
 * After a start at which water came after `afterS` seconds. One that was not seen from its beginning counts for nothing, nor does one that
 * took longer than any pump may: a seacock was opened.
 */
export const primedAfter = (before: Priming, afterS: number): Priming =>
  afterS > primesWithinS.most
    ? before
    : {
        starts: Math.min(provenByStarts, before.starts + 1),
        longestS: Math.max(afterS, before.longestS * (1 - forgets)),
      };

/** How long after a start no water is no alarm yet, s. `comes`: there is pressure, though too little, so that water is on its way. */
export const mayPrimeForS = ({ starts, longestS }: Priming, comes: boolean): number =>
  Math.max(
    comes || starts < provenByStarts ? primesWithinS.unknown : primesWithinS.least,
    starts < provenByStarts ? 0 : Math.min(primesWithinS.most, longerBy * longestS),
  );
