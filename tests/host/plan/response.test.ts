import { describe, expect, it } from 'vitest';
import { responseCosts, timeConstantBandS } from '../../../host/plan/response.js';
import { Plant } from '../../../node/bench/plant/plant.js';

describe('how soon the alarm comes', () => {
  it.each([
    ['cruise', 0.75, 'strap-on'],
    ['cruise', 0.75, 'well'],
    ['wide-open', 1, 'strap-on'],
    ['wide-open', 1, 'well'],
  ] as const)(
    'at %s (throttle %d) a %s passes 75 C when the table says, on the bench’s plant',
    (load, throttle, mounting) => {
      const plant = new Plant({ seed: 1 });
      for (const engine of ['port', 'starboard'] as const) plant.setThrottle(engine, throttle);
      for (let s = 0; s < 1200; s++) plant.step(1);
      plant.bagIntake('port');
      let seconds = 0;
      while (
        plant.elementTemperatureC({ engine: 'port', place: 'wet-elbow', mounting }) < 75 &&
        seconds < 600
      ) {
        plant.step(0.1);
        seconds += 0.1;
      }
      const row = responseCosts(75).find((r) => r.load === load);
      const tabled = mounting === 'well' ? row?.wellS : row?.strapOnS;
      expect(Math.abs(seconds / (tabled ?? 0) - 1)).toBeLessThan(0.2);
    },
  );

  it('whatever the alarm: later for a higher one, sooner wide open, and a ring costs at least its lag more', () => {
    // A first-order probe follows a steady rise late by its time constant; the least between two bands is their gap.
    const leastCostS = timeConstantBandS['strap-on'][0] - timeConstantBandS.well[1];
    let before: readonly { strapOnS: number; wellS: number }[] | undefined;
    for (let alarmAtC = 60; alarmAtC <= 100; alarmAtC += 2.5) {
      const costs = responseCosts(alarmAtC);
      expect(costs.map(({ load }) => load)).toEqual(['cruise', 'wide-open']);
      const [cruise, wideOpen] = costs;
      expect(wideOpen?.strapOnS).toBeLessThan(cruise?.strapOnS ?? 0);
      expect(wideOpen?.wellS).toBeLessThan(cruise?.wellS ?? 0);
      for (const [i, { strapOnS, wellS, costS }] of costs.entries()) {
        expect(costS).toBeCloseTo(strapOnS - wellS, 9);
        expect(costS).toBeGreaterThanOrEqual(leastCostS);
        if (!before) continue;
        expect(strapOnS).toBeGreaterThan(before[i]?.strapOnS ?? 0);
        expect(wellS).toBeGreaterThan(before[i]?.wellS ?? 0);
      }
      before = costs;
    }
  });

  it('a ring that has fallen off reads the air and never passes the alarm: nothing replaces looking', () => {
    const plant = new Plant({ seed: 1 });
    for (const engine of ['port', 'starboard'] as const) plant.setThrottle(engine, 1);
    plant.engines.port.ailments.fallenProbe = true;
    for (let s = 0; s < 1200; s++) plant.step(1);
    plant.bagIntake('port');
    let hottest = 0;
    for (let s = 0; s < 120; s++) {
      plant.step(1);
      const spot = { engine: 'port', place: 'wet-elbow', mounting: 'strap-on' } as const;
      hottest = Math.max(hottest, plant.elementTemperatureC(spot));
    }
    expect(hottest).toBeLessThan(75);
  });

  it('says nothing where its table does not reach', () => {
    expect(responseCosts(55)).toEqual([]);
    expect(responseCosts(110)).toEqual([]);
  });
});
