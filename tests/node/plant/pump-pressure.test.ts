import { describe, expect, it } from 'vitest';
import { Plant } from '../../../node/bench/plant/plant.js';

/** Expected values by hand: 6 kPa of water column, 80 kPa of circuit at rated speed, turbulent: the square of flow. */
function underWay(throttle: number, change: (plant: Plant) => void = () => {}): number {
  const plant = new Plant();
  plant.setThrottle('port', throttle);
  plant.step(60);
  change(plant);
  plant.step(60);
  return plant.pumpPressureKpa('port');
}

describe('the pressure behind the raw-water pump', () => {
  it('86 kPa at rated speed, and 0 when the engine stops', () => {
    expect(underWay(1)).toBeCloseTo(86, 1);
    expect(underWay(1, (plant) => plant.setThrottle('port', 0))).toBeCloseTo(0, 3);
  });

  it('idle at 0.26 of rated speed: 6 + 80 x 0.26 x 0.26 = 11.4 kPa', () => {
    expect(underWay(0.05)).toBeCloseTo(11.41, 1);
  });

  it('half an impeller: 6 + 80 / 4 = 26 kPa; half the circuit’s area left by scale: 6 + 80 x 4 = 326 kPa', () => {
    expect(underWay(1, (plant) => plant.wearImpeller('port', 0.5))).toBeCloseTo(26, 1);
    expect(
      underWay(1, (plant) => {
        plant.engines.port.ailments.exchanger = 0.5;
      }),
    ).toBeCloseTo(326, 0);
  });

  it('a bag over the intake that leaves 3 %: below 1 kPa within 20 s', () => {
    expect(underWay(1, (plant) => plant.bagIntake('port'))).toBeLessThan(1);
  });

  it('rated speed is 2600 rpm, idle 676', () => {
    const plant = new Plant();
    plant.setThrottle('port', 0.05);
    plant.step(60);
    expect(plant.rpm('port')).toBeCloseTo(676, 0);
    plant.setThrottle('port', 1);
    plant.step(60);
    expect(plant.rpm('port')).toBeCloseTo(2600, 0);
  });
});
