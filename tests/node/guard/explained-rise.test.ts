import { describe, expect, it } from 'vitest';
import { expectedRiseK } from '../../../node/guard/baseline.js';
import { isIdling } from '../../../node/guard/exhaust-memory.js';
import { isExplained, isWithinNormal } from '../../../node/guard/explained-rise.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import { baseline, calm, expectedK } from './learned-run.js';

describe('a rise that normal running explains', () => {
  it('gas that rises explains an elbow that rises to where it was learned to be, and no more than that', () => {
    const opened = { ...calm, slopeCPerS: 0.85, exhaust: { a: 260, b: 225, c: 266 } };
    const isAt = expectedRiseK(baseline, opened.exhaust, 20);
    expect(isExplained({ ...opened, elbowC: 20 + isAt - 8.5 }, baseline, learnedTuning)).toBe(true);
    expect(isExplained({ ...opened, elbowC: 20 + isAt + 2 }, baseline, learnedTuning)).toBe(false);
    const steady = { ...opened, exhaust: calm.exhaust, elbowC: 20 + expectedK - 8.5 };
    expect(isExplained(steady, baseline, learnedTuning)).toBe(false);
  });

  it('where it was in normal running an elbow may rise fast, as when a thermostat opens, but not as fast as with a lost pump', () => {
    const opens = { ...calm, elbowC: 20 + baseline.highestRiseK, slopeCPerS: 1 };
    expect(isWithinNormal(opens, baseline)).toBe(true);
    expect(isWithinNormal({ ...opens, slopeCPerS: 1.6 }, baseline)).toBe(false);
    // On a boat that does so in normal running it is normal, unless weed in one trip made it so.
    expect(isWithinNormal({ ...opens, slopeCPerS: 1.7 }, { ...baseline, fastestCPerS: 1.4 })).toBe(true);
    expect(isWithinNormal({ ...opens, slopeCPerS: 1.77 }, { ...baseline, fastestCPerS: 1.4 })).toBe(false);
    expect(isWithinNormal({ ...opens, slopeCPerS: 1.9 }, { ...baseline, fastestCPerS: 3 })).toBe(false);
    const spread = { ...baseline.spread, steady: { q998K: 18, seconds: 1500 } };
    expect(isWithinNormal(opens, { ...baseline, spread })).toBe(false);
    expect(isWithinNormal({ ...opens, elbowC: opens.elbowC + 5 }, baseline)).toBe(false);
    expect(isWithinNormal({ ...opens, seaC: undefined }, baseline)).toBe(false);
    // What was learned cannot judge it then: gas lost, its probe fallen out, or an engine that only may run.
    const coldC = baseline.gasC.min - 20;
    for (const unknown of [
      // The coolant of an engine started cold cannot be what comes.
      { warmS: 60 },
      { exhaust: undefined },
      { exhaust: { a: coldC, b: coldC, c: coldC } },
      { phase: 'unsure' as const },
    ])
      expect(isWithinNormal({ ...opens, ...unknown }, baseline)).toBe(false);
  });

  it('what two trips reached is believed beyond what one may have made', () => {
    const ofTwoTrips = { highestRiseK: baseline.highestRiseK, fastestCPerS: 2 };
    const known = { ...baseline, ofTwoTrips };
    const opens = { ...calm, elbowC: 20 + baseline.highestRiseK, slopeCPerS: 2.4 };
    expect(isWithinNormal(opens, known)).toBe(true);
    expect(isWithinNormal({ ...opens, slopeCPerS: 2.55 }, known)).toBe(false);
    // A throttle that is opened wider than on any trip brings more heat at once.
    const opening = { ...opens, slopeCPerS: 1.45 * 1.2, exhaust: { a: 250, b: 240, c: 230 } };
    const slower = { ...known, ofTwoTrips: { ...ofTwoTrips, fastestCPerS: 1.2 } };
    expect(isWithinNormal(opening, slower)).toBe(true);
    expect(isWithinNormal({ ...opening, exhaust: calm.exhaust }, slower)).toBe(false);
    expect(isWithinNormal({ ...opening, slopeCPerS: 1.55 * 1.2 }, slower)).toBe(false);
    // An elbow whose start was dry rises by 4 K/s and more: no trips make that normal.
    expect(
      isWithinNormal(
        { ...opens, slopeCPerS: 3 },
        { ...known, ofTwoTrips: { ...ofTwoTrips, fastestCPerS: 4 } },
      ),
    ).toBe(false);
    // A thermostat that spreads it wide at steady load is not a reason to alarm where both trips show it.
    const wide = { ...known, spread: { ...baseline.spread, steady: { q998K: 18, seconds: 1500 } } };
    expect(isWithinNormal(opens, wide)).toBe(true);
    // Only one trip was so warm.
    expect(
      isWithinNormal(opens, {
        ...known,
        ofTwoTrips: { ...ofTwoTrips, highestRiseK: baseline.highestRiseK - 5 },
      }),
    ).toBe(false);
    // A hot restart whose seacock is shut: commissioning learned nothing of the first seconds.
    expect(isWithinNormal({ ...opens, sinceStartS: 20 }, known)).toBe(false);
    // An engine that idles makes no such heat, and one that idled only just now may still have it.
    const idle = { a: 150, b: 150, c: 150 };
    expect(isWithinNormal({ ...opens, exhaust: idle }, wide)).toBe(false);
    expect(isWithinNormal({ ...opens, exhaust: { ...idle, c: 220 } }, wide)).toBe(true);
  });

  it('gas of a probe that has fallen out is not that of an idling engine', () => {
    const gas = (a: number) => ({ a, b: a, c: a });
    expect(isIdling(gas(baseline.gasC.min), baseline.gasC)).toBe(true);
    expect(isIdling(gas(40), baseline.gasC)).toBe(false);
    expect(isIdling(gas(150), undefined)).toBe(true);
    expect(isIdling(gas(40), undefined)).toBe(false);
  });
});
