import { type ElbowBaseline, expectedRiseK } from './baseline.js';
import type { ElbowView } from './elbow-view.js';
import { isIdlingLoad, risesNow } from './exhaust-memory.js';
import { isComparable } from './learned-moment.js';
import type { LearnedTuning } from './learned-state.js';

/** Hardly any healthy elbow warmed faster than 1.2 K/s on the simulated boats, and one without water soon is faster, K/s. */
const healthyCPerS = 1.5;
/** A light elbow on a small engine may be as fast as commissioning met it, and a quarter more; or half, as a throttle is opened wider. */
const aboveFastest = 1.25;
const aboveFastestOpening = 1.5;
/** Weed in one commissioning trip makes 2.2 K/s of a fastest of 0.2, so no more than this is taken from it, K/s; */
const mostCPerS = 1.8;
/** and no more than this from what two trips reached: 2.1 on the fastest healthy elbow simulated, 4 and more where a start was dry, K/s. */
const mostOfTwoTripsCPerS = 2.6;
/** Coolant of an engine that has run for less is cold, so that no thermostat that opens explains a rise, s; common practice, no source. */
const coldForS = 150;
/** Two trips are learned from so long after each start on, as is all that is learned of normal running: `graceS` of the tuning, s. */
const learnedAfterS = 35;
/** What spreads wider at steady load is judged late by what was learned, K: only what two trips reached excuses it. */
const judgedWellK = 15;
/** Above the highest rise that commissioning met, K. */
const aboveHighestK = 4;

/**
 * Whether the elbow only goes where it has been in normal running: as when a thermostat opens, and the hot coolant reaches the
 * cooler at once. The learned detector judges such a rise; that it is quick proves nothing. Where the learned detector cannot judge it,
 * nothing explains it.
 */
export function isWithinNormal(view: ElbowView, baseline: ElbowBaseline): boolean {
  if (!isComparable(view, baseline) || view.warmS <= coldForS) return false;
  const { a, b, c } = view.exhaust;
  // An engine that has idled for minutes makes no heat for a rise that only load has shown.
  const opens = risesNow(view.exhaust);
  const idles = !opens && isIdlingLoad({ a: Math.max(a, c), b, c }, baseline.gasC);
  const ofTwoTrips = idles || view.sinceStartS < learnedAfterS ? undefined : baseline.ofTwoTrips;
  if (!ofTwoTrips && baseline.spread.steady.q998K > judgedWellK) return false;
  const { highestRiseK, fastestCPerS = 0 } = ofTwoTrips ?? baseline;
  const mayRiseCPerS = ofTwoTrips
    ? Math.min(mostOfTwoTripsCPerS, (opens ? aboveFastestOpening : aboveFastest) * fastestCPerS)
    : Math.min(mostCPerS, aboveFastest * fastestCPerS);
  return (
    view.slopeCPerS < Math.max(healthyCPerS, mayRiseCPerS) &&
    view.elbowC - view.seaC < highestRiseK + aboveHighestK
  );
}

/**
 * Whether gas that rises explains how the elbow rises: after an opened throttle heat comes before the water does, and the elbow is
 * where it was learned to be, or below.
 */
export function isExplained(view: ElbowView, baseline: ElbowBaseline, tuning: LearnedTuning): boolean {
  const { exhaust, seaC, phase, elbowC } = view;
  if (phase !== 'running' || !exhaust || seaC === undefined || !risesNow(exhaust)) return false;
  return elbowC - seaC - expectedRiseK(baseline, exhaust, seaC) < tuning.leastK / 2;
}
