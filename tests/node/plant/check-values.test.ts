import { describe, expect, it } from 'vitest';
import { Plant } from '../../../node/bench/plant/plant.js';

/** Facts of the trade the plant was tuned to; common practice, no source. */
function settled(throttle: number): Plant {
  const plant = new Plant({ seaC: 18, outsideC: 20 });
  plant.setThrottle('port', throttle);
  plant.setThrottle('starboard', throttle);
  plant.step(1800);
  return plant;
}

const elbowC = (plant: Plant, mounting: 'strap-on' | 'well') =>
  plant.elementTemperatureC({ engine: 'port', place: 'wet-elbow', mounting });

/** Seconds until `done`, stepping 0.1 s; Infinity after `withinS`. */
function secondsUntil(plant: Plant, withinS: number, done: () => boolean): number {
  for (let s = 0; s < withinS; s += 0.1) {
    if (done()) return s;
    plant.step(0.1);
  }
  return Number.POSITIVE_INFINITY;
}

describe('plant, check values (common practice, no source)', () => {
  it('normal running: the wet elbow is about 11 C (20 F) above the sea, 8 to 15 at cruise and wide open', () => {
    for (const throttle of [0.75, 1]) {
      const rise = elbowC(settled(throttle), 'strap-on') - 18;
      expect(rise).toBeGreaterThan(8);
      expect(rise).toBeLessThan(15);
    }
  });

  it('exhaust gas after the turbocharger at wide open is 338 C (640 F) within 10, and before it 83 to 139 C hotter', () => {
    const plant = settled(1);
    const after = plant.elementTemperatureC({ engine: 'port', place: 'dry-exhaust', mounting: 'free' });
    const before = plant.elementTemperatureC({ engine: 'port', place: 'before-turbo', mounting: 'free' });
    expect(Math.abs(after - 338)).toBeLessThan(10);
    expect(before - after).toBeGreaterThan(83);
    expect(before - after).toBeLessThan(139);
  });

  it('raw water blocked at wide open: the well passes 93 C (200 F) within 30 s, the hose wall 120 C within 60 s', () => {
    const plant = settled(1);
    plant.bagIntake('port');
    expect(secondsUntil(plant, 30, () => elbowC(plant, 'well') >= 93)).toBeLessThan(30);
    expect(secondsUntil(plant, 60, () => plant.engines.port.hoseC >= 120)).toBeLessThan(40);
  });

  it('half the water at cruise: the elbow passes its normal by 3 C within two minutes', () => {
    const plant = settled(0.75);
    const normal = elbowC(plant, 'strap-on');
    plant.wearImpeller('port', 0.5);
    expect(secondsUntil(plant, 120, () => elbowC(plant, 'strap-on') > normal + 3)).toBeLessThan(120);
  });

  it('two healthy engines at matched load agree within 2.8 C (5 F) of exhaust gas; overload and bad injectors are hotter', () => {
    const plant = settled(0.8);
    const gas = (engine: 'port' | 'starboard') =>
      plant.elementTemperatureC({ engine, place: 'dry-exhaust', mounting: 'free' });
    expect(Math.abs(gas('port') - gas('starboard'))).toBeLessThan(2.8);
    plant.engines.port.ailments.load = 1.2;
    plant.step(600);
    expect(gas('port') - gas('starboard')).toBeGreaterThan(10);
    plant.engines.port.ailments.load = 1;
    plant.engines.port.ailments.injectorK = 20;
    plant.step(600);
    expect(gas('port') - gas('starboard')).toBeGreaterThan(10);
  });

  it('heat soak after a stop from cruise warms the wall, and never to 93 C', () => {
    const plant = settled(0.75);
    plant.setThrottle('port', 0);
    const start = plant.engines.port.wallC;
    let peak = start;
    for (let i = 0; i < 3600; i++) {
      plant.step(1);
      peak = Math.max(peak, plant.engines.port.wallC);
    }
    expect(peak).toBeGreaterThan(start + 5);
    expect(peak).toBeLessThan(93);
  });

  it('the same seed gives the same sea, and another seed another', () => {
    const rough = (seed: number) => {
      const plant = new Plant({ seed });
      plant.roughness = 1;
      plant.setThrottle('port', 0.8);
      plant.step(300);
      return plant.engines.port.gasC;
    };
    expect(rough(5)).toBe(rough(5));
    expect(rough(5)).not.toBe(rough(6));
  });

  it('a probe the plant has no place for is refused by name', () => {
    const plant = new Plant();
    expect(() => plant.elementTemperatureC({ engine: 'port', place: 'bilge', mounting: 'free' })).toThrow(
      /bilge/,
    );
    expect(() => plant.elementTemperatureC({ engine: 'all', place: 'wet-elbow', mounting: 'well' })).toThrow(
      /one engine/,
    );
  });
});
