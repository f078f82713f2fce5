/** What a pressure probe reads while its pump is stopped, and how far that can be trusted. */
export type PumpZero = {
  readonly zeroKpa: number;
  /** On how many seconds it rests, and whether it was seen since the guard started. */
  readonly zeroS: number;
  readonly zeroFresh: boolean;
  readonly stoppedS: number;
};

export const unknownZero: PumpZero = { zeroKpa: 0, zeroS: 0, zeroFresh: false, stoppedS: 0 };

/** Zero is taken from a minute after a stop, slowly; further off than this the probe or its port is at fault, kPa. */
const zeroAfterS = 60;
const zeroTauS = 30;
export const mostZeroKpa = 10;
/** From so many seconds at rest on the zero counts as known. */
const zeroKnownS = 10;
/**
 * What a zero may wander after it was taken, at the last stop or before the guard started, kPa: 0.9 and 1.25 % of a transducer of
 * 200 kPa, about what cheap parts promise over the warmth of an engine room (common practice, no source).
 */
const zeroWandersKpa = { fresh: 1.8, old: 2.5 } as const;

/** Whether its zero is known, so that a pressure near it means what it says. */
export const isZeroKnown = ({ zeroS }: PumpZero): boolean => zeroS >= zeroKnownS;

/** How far the zero may have moved since what was learned, kPa. */
export const wanderKpa = ({ zeroFresh }: PumpZero): number => zeroWandersKpa[zeroFresh ? 'fresh' : 'old'];

/** How far the zero may be off by now, kPa. A pressure that is smaller proves no water. */
export const zeroErrorKpa = (zero: PumpZero): number => (isZeroKnown(zero) ? wanderKpa(zero) : mostZeroKpa);

/** Steps the zero while the engine is said to be stopped. */
export function stepZero(before: PumpZero, readingKpa: number, dtS: number): PumpZero {
  const stoppedS = before.stoppedS + dtS;
  const { zeroKpa, zeroFresh } = before;
  if (stoppedS <= zeroAfterS || Math.abs(readingKpa) > mostZeroKpa || dtS === 0)
    return { zeroKpa, zeroS: before.zeroS, zeroFresh, stoppedS };
  const zeroS = before.zeroS + dtS;
  // The first seconds are averaged, so that a zero is right as soon as it is known.
  const share = Math.max(1 - Math.exp(-dtS / zeroTauS), dtS / zeroS);
  return {
    zeroKpa: zeroKpa + (readingKpa - zeroKpa) * share,
    zeroS,
    zeroFresh: zeroFresh || stoppedS > zeroAfterS + zeroKnownS,
    stoppedS,
  };
}

/** The zero after a restart of the guard: what versions up to 0.3 kept was taken at some stop, unless it is none at all. */
export const zeroAfterRestart = ({ zeroKpa, zeroS }: Partial<PumpZero>): PumpZero =>
  zeroKpa !== undefined && Number.isFinite(zeroKpa)
    ? { ...unknownZero, zeroKpa, zeroS: zeroS ?? (zeroKpa === 0 ? 0 : zeroKnownS) }
    : unknownZero;

/** Whether a stopped engine's probe shows a pressure that cannot be: its port is blocked, or it has drifted. */
export const isStuckUp = (state: PumpZero & { readonly kpa: number | undefined }): boolean =>
  state.stoppedS > 2 * zeroAfterS &&
  state.kpa !== undefined &&
  Math.abs(state.kpa + state.zeroKpa) > mostZeroKpa;
