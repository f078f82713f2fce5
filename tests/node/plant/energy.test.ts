import { describe, expect, it } from 'vitest';
import { mixingSurplusKw, mixtureC } from '../../../node/bench/plant/mixing.js';
import { Plant } from '../../../node/bench/plant/plant.js';

/**
 * Conservation of energy, by first principles: every balance here is computed independently from the plant's own heat
 * flows and temperatures. Specific heats: water of the sea 3.99, exhaust gas 1.09 kJ/(kg K), handbook values from memory.
 */

/** A voyage with everything in it: start, load, slam, lost water, water again, stop and soak. */
function voyage(visit: (plant: Plant, dtS: number, step: () => void) => void): void {
  const plant = new Plant({ seed: 3 });
  const dtS = 0.2;
  for (let s = 0; s < 1500; s += dtS) {
    if (s === 0) plant.setThrottle('port', 0.05);
    if (Math.abs(s - 200) < dtS / 2) plant.setThrottle('port', 0.8);
    if (Math.abs(s - 500) < dtS / 2) plant.setThrottle('port', 1);
    if (Math.abs(s - 700) < dtS / 2) plant.bagIntake('port');
    if (Math.abs(s - 800) < dtS / 2) plant.clearIntake('port');
    if (Math.abs(s - 1100) < dtS / 2) plant.setThrottle('port', 0);
    visit(plant, dtS, () => plant.step(dtS));
  }
}

describe('plant, conservation of energy', () => {
  it('in every step and node, heat stored is heat in less heat out, to 1e-9 kJ a kJ/K', () => {
    let worst = 0;
    voyage((plant, dtS, step) => {
      const engine = plant.engines.port;
      const { coolantC, rawC, manifoldC, wallC, hoseC } = engine;
      step();
      const { heat: h, capacities: c } = engine;
      const balances: readonly (readonly [number, number])[] = [
        [
          c.coolant * (engine.coolantC - coolantC),
          h.fuelToCoolant + h.manifoldToCoolant - h.coolantToRaw - h.coolantToRoom,
        ],
        [c.raw * (engine.rawC - rawC), h.coolantToRaw + h.fuelToRaw - h.rawToSea - h.rawToSteam],
        [
          c.manifold * (engine.manifoldC - manifoldC),
          h.gasToManifold - h.manifoldToCoolant - h.manifoldToWall - h.manifoldToRoom,
        ],
        [c.wall * (engine.wallC - wallC), h.manifoldToWall + h.filmToWall + h.gasToWall - h.wallToRoom],
        [c.hose * (engine.hoseC - hoseC), h.filmToHose + h.gasToHose - h.hoseToRoom],
      ];
      for (const [storedKj, kw] of balances) worst = Math.max(worst, Math.abs(storedKj - kw * dtS));
    });
    expect(worst).toBeLessThan(1e-9);
  });

  it('where gas and water meet, the heat the gas gives is what water and vapour take, within 0.1 K of the gas', () => {
    let worst = 0;
    let met = 0;
    voyage((plant, _dtS, step) => {
      step();
      const e = plant.engines.port;
      if (e.gasKgPerS < 0.01) return;
      met++;
      const streams = {
        gasKgPerS: e.gasKgPerS,
        gasC: 0.97 * e.gasC,
        waterKgPerS: e.waterKgPerS,
        waterC: e.rawC,
      };
      worst = Math.max(worst, Math.abs(mixingSurplusKw(streams, e.mixC)) / (1.09 * e.gasKgPerS));
    });
    expect(worst).toBeLessThan(0.1);
    expect(met, 'moments with gas').toBeGreaterThan(1000);
  });

  it('the mixture: without water it is the gas, without gas it is the water, and dry heat alone balances by hand', () => {
    expect(mixtureC({ gasKgPerS: 0.3, gasC: 300, waterKgPerS: 0, waterC: 20 }, 50)).toBeCloseTo(300, 1);
    expect(mixtureC({ gasKgPerS: 0, gasC: 300, waterKgPerS: 3, waterC: 20 }, 50)).toBeCloseTo(20, 1);
    // Gas too cool to take up vapour: 0.3 x 1.09 x (40 - T) = 3 x 3.99 x (T - 10), so T = 10.798 C.
    expect(mixtureC({ gasKgPerS: 0.3, gasC: 40, waterKgPerS: 3, waterC: 10 }, 50)).toBeCloseTo(10.798, 2);
  });

  it('what leaves never exceeds what the fuel brings: shaft, gas, coolant, oil and room at wide open', () => {
    const plant = new Plant();
    plant.setThrottle('port', 1);
    plant.step(1800);
    const e = plant.engines.port;
    const fuelKw = 600 * (0.1 * e.speed + 0.9 * e.torque * e.speed);
    const shaftKw = 235 * e.torque * e.speed;
    const gasKw = 1.09 * e.gasKgPerS * (e.gasC - plant.roomC);
    const share = (shaftKw + gasKw + e.heat.fuelToCoolant + e.heat.fuelToRaw + e.heat.fuelToRoom) / fuelKw;
    expect(share).toBeLessThan(1);
    expect(share).toBeGreaterThan(0.85);
  });
});
