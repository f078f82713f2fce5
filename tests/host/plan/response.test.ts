import { describe, expect, it } from 'vitest';
import { responseCosts } from '../../../host/plan/response.js';
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
