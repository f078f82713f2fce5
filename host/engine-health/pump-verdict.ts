import type { OfTrip } from './effectiveness.js';

/** What the pressure behind a raw-water pump says of weeks: by trip, over what was learned at the same exhaust gas. */
export type PumpHealth = {
  readonly probe: string;
  /** 1 is as when learned. Each stretch between two works has its own learning. */
  readonly ratio: readonly OfTrip[];
};

export type PumpVerdict = {
  readonly kind: 'unknown' | 'as-learned' | 'falls' | 'rises';
  /** Of the last three trips, the middle one; absent while it cannot be judged. */
  readonly ratio?: number;
  readonly twoSigma?: number;
};

const fewestTrips = 3;
/** Less than this is not worth a look; our choice, about what zero and span of a cheap transmitter wander. */
const worthALook = 0.08;

/** Says in which direction the pressure has gone, by the middle of the last three trips. */
export const pumpVerdictOf = ({ ratio }: PumpHealth): PumpVerdict => {
  const [, middle] = ratio.slice(-fewestTrips).sort((a, b) => a.value - b.value);
  if (!middle || ratio.length < fewestTrips) return { kind: 'unknown' };
  const twoSigma = 2 * middle.uncertainty;
  const off = middle.value - 1;
  const kind = Math.abs(off) <= Math.max(worthALook, twoSigma) ? 'as-learned' : off < 0 ? 'falls' : 'rises';
  return { kind, ratio: middle.value, twoSigma };
};

const closeFirst =
  'With the engine stopped and cold, close the seacock before you open anything, and open it again before you start the engine.';

/**
 * What it means, in words. A worn impeller and a blocked intake bring less water, so the pressure behind the pump falls; a cooler
 * or an elbow that closes up holds the water back, so it rises.
 */
export const pumpWords: Readonly<
  Record<PumpVerdict['kind'], { readonly says: string; readonly advice: string }>
> = {
  unknown: { says: 'Pump pressure: too early to judge.', advice: '' },
  'as-learned': { says: 'Pump pressure as when learned.', advice: '' },
  falls: {
    says: 'Pump pressure has fallen: a worn impeller, or a partly blocked intake or strainer.',
    advice: `Look at strainer and intake first, then at the impeller. ${closeFirst}`,
  },
  rises: {
    says: 'Pump pressure has risen: cooler or elbow are closing up behind the pump.',
    advice: `Look at the cooler’s tubes and at the injection side of the elbow. ${closeFirst}`,
  },
};
