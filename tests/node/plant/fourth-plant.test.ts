import { describe, expect, it } from 'vitest';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { DrawnBoat } from '../../simulation/campaign/drawn-boat.js';
import { FourthPlant } from '../../simulation/fourth-plant/fourth-plant.js';
import type { HeatEngine } from '../../simulation/fourth-plant/heat-engine.js';
import { drawTwins } from '../../simulation/fourth-plant/traits.js';

import {
  calm,
  dtS,
  elbowAreaOf,
  evaporation,
  gasCp,
  gasFilm,
  ntu,
  outside,
  run,
  seeds,
  steadyAt,
  traitsOf,
  waterCp,
} from './fourth-plant-runs.js';

describe('fourth plant: the wet elbow', () => {
  it.each(seeds)(
    'without vapour the mixture is the mean of the two streams by their heat capacities (seed %d)',
    (seed) => {
      const { streams: s, exhaust } = steadyAt(0.7, seed, { saturates: 0 });
      const gas = s.gasKgPerS * gasCp;
      const water = s.waterKgPerS * waterCp;
      // The walls' own heat, some 0.1 kW, is left out of the mean.
      expect(exhaust.mixC).toBeCloseTo((gas * s.gasC + water * s.waterC) / (gas + water), 0);
    },
  );

  it.each(seeds)(
    'with vapour it solves the balance with the vapour pressure by Magnus, within 0.5 K (seed %d)',
    (seed) => {
      const { streams: s, exhaust, traits } = steadyAt(1, seed);
      const surplusKw = (c: number) => {
        const kpa = 0.61094 * Math.exp((17.625 * c) / (c + 243.04));
        const vapour = (traits.saturates * s.gasKgPerS * 0.622 * kpa) / (101.325 - kpa);
        return (
          s.gasKgPerS * gasCp * (s.gasC - c) - s.waterKgPerS * waterCp * (c - s.waterC) - vapour * evaporation
        );
      };
      expect(surplusKw(exhaust.mixC - 0.5)).toBeGreaterThan(0);
      expect(surplusKw(exhaust.mixC + 0.5)).toBeLessThan(0);
    },
  );

  /** Where all that heats and cools the elbow is in balance, C; the same with and without water. */
  const balancedC = ({ traits: t, exhaust: x, streams: s, riserC }: HeatEngine): number => {
    const area = elbowAreaOf(t);
    const covered = t.reach * Math.min(1, s.waterKgPerS / (Math.PI * t.boreM * t.wettingKgPerMS));
    const half = (0.5 * t.elbowBores * t.boreM) / t.mixingM;
    const left = Math.exp(-half * (s.waterKgPerS / s.gasKgPerS / 10) ** 0.6);
    const water = s.waterKgPerS * waterCp;
    const film = water > 0 ? ntu(water, t.filmKwPerM2K * area * covered) : 0;
    const bare = ntu(s.gasKgPerS * gasCp, gasFilm(s.gasKgPerS, t.boreM) * area * (1 - covered));
    const pairs: readonly (readonly [number, number])[] = [
      [film, x.mixC + (s.waterC - x.mixC) * left],
      [bare, x.mixC + (s.gasC - x.mixC) * left],
      [t.flangeKwPerK, riserC],
      [t.hoseJointKwPerK, x.hoseC],
      [outside * area, calm.roomC],
    ];
    return pairs.reduce((sum, [g, c]) => sum + g * c, 0) / pairs.reduce((sum, [g]) => sum + g, 0);
  };

  it.each(seeds)(
    'its metal rests where film, gas, riser, hose and air are in balance, within 0.1 K (seed %d)',
    (seed) => {
      const engine = steadyAt(0.7, seed);
      expect(Math.abs(engine.exhaust.elbowC - balancedC(engine))).toBeLessThan(0.1);
      expect(engine.exhaust.elbowC).toBeLessThan(75);
      // Again with a third of the water, where the mixing length is another.
      engine.ailments.impeller = 0.3;
      run(engine, 1200);
      expect(Math.abs(engine.exhaust.elbowC - balancedC(engine))).toBeLessThan(0.1);
    },
  );

  it.each(seeds)(
    'without water it rises at once, comes near the gas, and the hose passes 120 C (seed %d)',
    (seed) => {
      const engine = steadyAt(0.8, seed);
      const wetC = engine.exhaust.elbowC;
      engine.ailments.intake = 0;
      const { lineTauS, filmTauS, elbowMm, boreM } = engine.traits;
      // By then the water has drained off and gas has worked for one time constant of the bare wall, c s / h.
      const bareTauS = (3600 * (elbowMm / 1000)) / gasFilm(engine.gasKgPerS, boreM);
      run(engine, 12 * lineTauS + 5 * filmTauS + bareTauS);
      expect(engine.exhaust.elbowC).toBeGreaterThan(wetC + 0.3 * (engine.gasC - wetC));
      run(engine, 3600);
      expect(Math.abs(engine.exhaust.elbowC - balancedC(engine))).toBeLessThan(0.5);
      expect(engine.exhaust.elbowC).toBeGreaterThan(0.5 * engine.gasC);
      expect(engine.exhaust.elbowC).toBeLessThan(engine.gasC);
      expect(engine.hoseC).toBeGreaterThan(120);
    },
  );
});

describe('fourth plant: time constants', () => {
  it('after a stop the dry riser cools by 63 % in the drawn time, which lies within 6 to 40 min and 20 % of a twin', () => {
    for (const seed of seeds) {
      const { riserTauS } = traitsOf(seed);
      expect(riserTauS).toBeGreaterThan(0.8 * 360);
      expect(riserTauS).toBeLessThan(1.2 * 2400);
      const engine = steadyAt(0.8, seed, { flangeKwPerK: 0 }, 0.3);
      engine.throttle = 0;
      run(engine, 10);
      const apartK = engine.riserC - calm.roomC;
      run(engine, riserTauS);
      expect((engine.riserC - calm.roomC) / apartK).toBeCloseTo(Math.exp(-1), 2);
    }
  });

  it('bagged, the water falls by 63 % in the time of its line', () => {
    for (const seed of seeds) {
      const engine = steadyAt(0.7, seed, {}, 0.1);
      const before = engine.waterKgPerS;
      engine.ailments.intake = 0;
      run(engine, engine.traits.lineTauS);
      // To the nearest step of 0.2 s.
      const least = Math.exp(-(engine.traits.lineTauS + dtS) / engine.traits.lineTauS);
      const most = Math.exp(-(engine.traits.lineTauS - dtS) / engine.traits.lineTauS);
      expect(engine.waterKgPerS / before).toBeGreaterThan(least);
      expect(engine.waterKgPerS / before).toBeLessThan(most);
    }
  });
});

describe('fourth plant: a boat', () => {
  const boat = (seed: number): FourthPlant =>
    new FourthPlant({
      ...drawTwins(makeRandom(seed)),
      seaTauS: 20,
      seaLeak: 0.03,
      seaC: 18,
      outsideC: 22,
      seed,
    });

  it('the same seed gives the same voyage, another seed another', () => {
    const voyage = (seed: number): number[] => {
      const plant = boat(seed);
      plant.roughness = 0.5;
      const seen: number[] = [];
      for (const throttle of [0.05, 0.25, 0.8, 0]) {
        plant.setThrottle('port', throttle);
        plant.setThrottle('starboard', throttle);
        for (let s = 0; s < 120; s += dtS) plant.step(dtS);
        for (const engine of ['port', 'starboard'] as const)
          for (const [place, mounting] of [
            ['wet-elbow', 'well'],
            ['wet-elbow', 'strap-on'],
            ['dry-exhaust', 'free'],
          ] as const)
            seen.push(plant.elementTemperatureC({ engine, place, mounting }));
        seen.push(plant.rpm('port'), plant.pumpPressureKpa('port'));
      }
      return seen;
    };
    expect(voyage(7)).toEqual(voyage(7));
    expect(voyage(7)).not.toEqual(voyage(8));
  });

  it('in a healthy seaway engines stay healthy: hose, coolant, consumption, gas and water (ranges of the trade, from memory)', () => {
    for (const seed of [11, 12, 13, 14]) {
      const plant = boat(seed);
      const { port } = plant.engines;
      let starvedS = 0;
      const worst = { starvedS: 0, hoseC: 0, coolantC: 0 };
      for (let s = 0; s < 1800; s += dtS) {
        plant.roughness = s < 1200 ? 0.6 : 0;
        plant.setThrottle('port', s < 120 ? 0.06 : s < 400 ? 0.2 : s < 1500 ? 0.75 : 1);
        plant.step(dtS);
        starvedS = port.flowPart < 0.75 ? starvedS + dtS : 0;
        worst.starvedS = Math.max(worst.starvedS, starvedS);
        worst.hoseC = Math.max(worst.hoseC, port.hoseC);
        worst.coolantC = Math.max(worst.coolantC, port.coolantC);
      }
      expect(worst.starvedS).toBeLessThan(15);
      expect(worst.hoseC).toBeLessThan(90);
      expect(worst.coolantC).toBeLessThan(100);
      expect(port.rpm).toBeGreaterThan(0.9 * port.traits.ratedRpm);
      const gramsPerKwh = (3.6e6 * port.fuelKw) / 42_700 / port.brakeKw;
      expect(gramsPerKwh).toBeGreaterThan(205);
      expect(gramsPerKwh).toBeLessThan(340);
      expect(port.gasC).toBeGreaterThan(300);
      expect(port.gasC).toBeLessThan(720);
    }
  });

  it('wear, a strainer nearly shut, scale and a fallen probe show where they should', () => {
    const ill = (ail: (engine: HeatEngine) => void): HeatEngine => {
      const engine = steadyAt(0.8, 2, {}, 0.3);
      ail(engine);
      run(engine, 300);
      return engine;
    };
    const sound = ill(() => undefined);
    expect(sound.flowPart).toBeCloseTo(1, 2);
    const worn = ill(({ ailments }) => {
      ailments.impeller = 0.5;
    });
    // Slip takes a little more of half the sweep than of the whole; what leaks falls with the lower pressure.
    expect(worn.flowPart).toBeGreaterThan(0.4);
    expect(worn.flowPart).toBeLessThan(0.6);
    expect(worn.pumpKpa).toBeLessThan(sound.pumpKpa);
    const shut = ill(({ ailments }) => {
      ailments.strainer = 0.02;
    });
    expect(shut.flowPart).toBeLessThan(0.2);
    const scaled = ill(({ ailments }) => {
      ailments.exchanger = 0.5;
    });
    expect(scaled.pumpKpa).toBeGreaterThan(1.5 * sound.pumpKpa);
    expect(scaled.coolantC).toBeGreaterThan(sound.coolantC + 3);
    const fallen = ill(({ ailments }) => {
      ailments.fallenProbe = true;
    });
    expect(fallen.probes.strap.temperatureC).toBeCloseTo(calm.roomC, 0);
    const loaded = ill(({ ailments }) => {
      ailments.load = 1.2;
    });
    expect(loaded.brakeKw / sound.brakeKw).toBeCloseTo(1.2, 1);
    const dripping = ill(({ ailments }) => {
      ailments.injectorK = 30;
    });
    expect(dripping.gasC - sound.gasC).toBeGreaterThan(10);
  });

  it('the campaign has it as `fourth`', () => {
    const drawn = new DrawnBoat(3, 'well', 'fourth');
    expect(drawn.plant).toBeInstanceOf(FourthPlant);
    drawn.plant.setThrottle('port', 0.5);
    const { readings, running } = drawn.pass();
    expect(readings.map(({ probe }) => probe)).toEqual([
      ...['port-elbow', 'port-exhaust', 'starboard-elbow', 'starboard-exhaust', 'sea'],
    ]);
    expect(running).toEqual({ port: true, starboard: false });
  });
});
