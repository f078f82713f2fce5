import { describe, expect, it } from 'vitest';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { foundByDrop, hasDropped, noDrop, type PumpDrop, stepDrop } from '../../../node/guard/pump-drop.js';
import { nothingLearned, type PumpMemory } from '../../../node/guard/pump-memory.js';
import { elbow, gas, learnedBoat, PumpBoat, pump, settingsWith } from './pump-boat.js';

const dtS = 0.2;
/** 10 kPa at 100 C of gas to 60 kPa at 350 C, 20 K and 4 kPa a step: a pump whose pressure goes with the gas. */
const memory: PumpMemory = {
  bins: Array.from({ length: 18 }, (_, i) =>
    i < 5 ? null : { seconds: 600, meanKpa: 10 + 4 * (i - 5), variance: 4 },
  ),
};
type Signs = { readonly kpa: number; readonly gasC: number | undefined };
const random = makeRandom(11);

/** Cruises for half a minute, then `forS` seconds as said; pulses and noise as of a cheap probe. Gives what was found, and when. */
function cruise(start: PumpDrop, forS: number, then: (s: number) => Signs) {
  let drop = start;
  let foundAtS: number | undefined;
  let beforeC: number | undefined;
  const step = ({ kpa, gasC }: Signs) => {
    const noise = (0.1 + 0.03 * kpa) * random.normal();
    const gasSlopeCPerS = gasC !== undefined && beforeC !== undefined ? (gasC - beforeC) / dtS : 0;
    beforeC = gasC;
    const seenC = gasC && gasC + 0.5 * random.normal();
    drop = stepDrop(drop, memory, { kpa: kpa + noise, gasC: seenC, gasSlopeCPerS, dtS });
  };
  for (let s = 0; s < 30; s += dtS) step({ kpa: 50, gasC: 310 });
  for (let s = 0; s < forS; s += dtS) {
    step(then(s));
    if (foundAtS === undefined && foundByDrop(drop)) foundAtS = s;
  }
  return { drop, foundAtS, found: foundByDrop(drop) };
}

/** A throttle that is closed to 26 kPa, where the gas is at 190 C: it goes `part` of that way, with 6 s as a bare thermocouple does. */
const closes = (part: number) => (s: number) => ({
  kpa: 26 + 24 * Math.exp(-s / 1.5),
  gasC: 310 - 120 * part * (1 - Math.exp(-s / 6)),
});
/** A boat whose gas has answered six closed throttles. */
const closed = (part: number): PumpDrop => {
  let drop: PumpDrop = noDrop;
  for (let i = 0; i < 6; i++) ({ drop } = cruise(drop, 60, closes(part)));
  return drop;
};
/** A vane breaks: half of the flow is left, a quarter of what it made of the pressure and 6 kPa of water column. */
const breaks = (s: number): Signs => ({ kpa: 17 + 33 * Math.exp(-s / 1.5), gasC: 310 });

describe('a pressure that falls while the exhaust gas stays', () => {
  const known = closed(0.4);

  it('is found within 13 s: the ten that a gas probe needs to answer and the fall itself; most of it is an alarm', () => {
    const { foundAtS, found } = cruise(known, 30, breaks);
    expect(foundAtS).toBeLessThan(13);
    expect(found).toBe('raw-water-lost');
    expect(cruise(known, 30, () => ({ kpa: 34, gasC: 310 })).found).toBe('raw-water-low');
  });

  it('is found while the gas still falls slowly after an earlier change of throttle', () => {
    expect(cruise(known, 30, (s) => ({ ...breaks(s), gasC: 310 - 0.2 * s })).foundAtS).toBeLessThan(13);
  });

  it.each([0.2, 0.4, 0.9])(
    'is explained by gas that goes %d of the way that a closed throttle takes it',
    (part) => {
      expect(cruise(closed(part), 60, closes(part)).foundAtS).toBeUndefined();
    },
  );

  it('nothing is found before closed throttles have shown how the gas answers', () => {
    expect(cruise(noDrop, 60, breaks).foundAtS).toBeUndefined();
  });

  it('a probe that answers four times less than others is asked for less, and its closed throttles are none', () => {
    const slow = closed(0.07);
    expect(slow.answers.leastPart).toBeLessThan(0.07);
    expect(cruise(slow, 60, closes(0.05)).foundAtS).toBeUndefined();
    expect(cruise(slow, 60, breaks).foundAtS).toBeLessThan(13);
  });

  it('gulps of air that follow one another are none', () => {
    // Two to four seconds without, one with: 40 s of a bad sea.
    const gulps = (s: number) => ({ kpa: s % 4.2 < 3.2 ? 22 : 40, gasC: 310 + 3 * Math.sin(s) });
    expect(cruise(known, 40, gulps).foundAtS).toBeUndefined();
  });

  it('gas that was rising when the throttle was closed explains it too; gas that hunts by 4 K hides no loss', () => {
    const rising = (s: number) => {
      const { kpa, gasC } = closes(0.2)(s);
      return { kpa, gasC: gasC + 3 * Math.exp(-s / 20) };
    };
    expect(cruise(known, 60, rising).foundAtS).toBeUndefined();
    const hunts = (s: number) => ({ ...breaks(s), gasC: 310 + 4 * Math.sin((2 * Math.PI * s) / 8) });
    expect(cruise(known, 60, hunts).foundAtS).toBeLessThan(19);
  });

  it('a rope in the propeller slows the engine and warms its gas: nothing is said of the pump', () => {
    expect(cruise(known, 60, (s) => ({ kpa: 36, gasC: 310 + Math.min(30, s) })).foundAtS).toBeUndefined();
  });

  it('what was found stays without gas and under a throttle that is closed because of it, and ends when the water is back', () => {
    const { drop } = cruise(known, 20, breaks);
    let now = drop;
    const hold = (signs: Signs, forS: number) => {
      for (let s = 0; s < forS; s += dtS) now = stepDrop(now, memory, { ...signs, gasSlopeCPerS: 0, dtS });
    };
    hold({ kpa: 17, gasC: undefined }, 20);
    expect(foundByDrop(now)).toBeDefined();
    // At 190 C the pump should give 26 kPa.
    hold({ kpa: 12, gasC: 190 }, 60);
    expect(foundByDrop(now)).toBeDefined();
    hold({ kpa: 26, gasC: 190 }, 10);
    expect(foundByDrop(now)).toBeUndefined();
    expect(hasDropped(now)).toBe(false);
  });

  it('without gas, and where nothing is known of other loads, nothing is found', () => {
    expect(cruise(known, 30, (s) => ({ ...breaks(s), gasC: undefined })).foundAtS).toBeUndefined();
    let drop = known;
    for (let s = 0; s < 60; s += dtS)
      drop = stepDrop(drop, nothingLearned, { kpa: s < 30 ? 50 : 17, gasC: 310, gasSlopeCPerS: 0, dtS });
    expect(foundByDrop(drop)).toBeUndefined();
  });
});

describe('on the invented engine', () => {
  const settings = settingsWith(elbow, gas, pump);

  it.each([0.35, 0.5, 0.65])(
    'an impeller that leaves %d of the flow at a load never met is found within 15 s',
    (left) => {
      const boat = new PumpBoat(settings);
      boat.run(120);
      for (const throttle of [0.05, 0.5, 0.05, 0.4, 0.05, 0.5, 0.3, 0.5, 0.05]) {
        boat.plant.setThrottle('port', throttle);
        expect(boat.run(100)).toBeUndefined();
      }
      boat.plant.setThrottle('port', 0.95);
      expect(boat.run(90)).toBeUndefined();
      boat.plant.wearImpeller('port', left);
      expect(boat.run(60)).toBeLessThanOrEqual(15);
    },
  );

  it('a minute after a closed throttle, while the gas falls, half of an impeller is found within 15 s', () => {
    const boat = learnedBoat(settings);
    for (const throttle of [1, 0.75]) {
      boat.plant.setThrottle('port', throttle);
      expect(boat.run(60)).toBeUndefined();
    }
    boat.plant.wearImpeller('port', 0.5);
    expect(boat.run(60)).toBeLessThanOrEqual(15);
  });

  it('says nothing of throttles closed a little or over a minute', () => {
    const boat = learnedBoat(settings);
    for (let throttle = 1; throttle >= 0.4; throttle -= 0.01) {
      boat.plant.setThrottle('port', throttle);
      expect(boat.run(1)).toBeUndefined();
    }
    for (const throttle of [0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.9, 0.65]) {
      boat.plant.setThrottle('port', throttle);
      expect(boat.run(60)).toBeUndefined();
    }
  });

  it('how its gas answers outlasts a restart of the guard', () => {
    const boat = learnedBoat(settings);
    const before = boat.state.probes.pump?.pump?.state.drop.answers;
    boat.restart();
    expect(boat.state.probes.pump?.pump?.state.drop.answers).toEqual(before);
    expect(before?.closings).toBeGreaterThan(0);
  });
});
