import { describe, expect, it } from 'vitest';
import { HeatEngine } from '../../simulation/fourth-plant/heat-engine.js';
import { counterflowKwPerK, pumpedKgPerS } from '../../simulation/fourth-plant/laws.js';

import {
  calm,
  dtS,
  elbowAreaOf,
  evaporation,
  gasCp,
  outside,
  run,
  seeds,
  traitsOf,
  waterCp,
} from './fourth-plant-runs.js';

describe('fourth plant: laws against values worked out by hand', () => {
  it('a pump against 10 kPa and 50 kPa a (kg/s)2 that leaks 0.002 kg/s a kPa gives the root of 0.1 Q2 + Q = 0.98', () => {
    const pump = { swept: 1, slip: 0.002, standingKpa: 10, behind: 40, before: 10, deepestKpa: 70 };
    expect(pumpedKgPerS(pump)).toBeCloseTo((-1 + Math.sqrt(1.392)) / 0.2, 9);
    // A tenth of the suction's area: 70 kPa draw sqrt(70 / 1000) kg/s and no more.
    expect(pumpedKgPerS({ ...pump, before: 1000 })).toBeCloseTo(0.264575, 6);
  });

  it('a counterflow cooler of NTU 1 and capacity ratio 0.5 has an effectiveness of 0.5647 (Kays and London)', () => {
    expect(counterflowKwPerK(2, 1, 1)).toBeCloseTo(0.5647, 4);
    expect(counterflowKwPerK(1, 2, 1)).toBeCloseTo(0.5647, 4);
  });
});

describe('fourth plant: conservation of energy', () => {
  it.each(seeds)(
    'fuel burnt is work, heat overboard, heat to the room and heat stored, to a thousandth (seed %d)',
    (seed) => {
      const engine = new HeatEngine(traitsOf(seed), calm);
      const { traits: t, exhaust: x } = engine;
      const area = elbowAreaOf(t);
      const stored = () =>
        t.blockKjPerK * engine.coolantC +
        t.rawHeldKg * waterCp * engine.rawC +
        (t.tank ? t.tank.kjPerK * engine.tankC : 0) +
        t.riserKjPerK * engine.riserC +
        3600 * area * (t.elbowMm / 1000) * x.elbowC +
        8 * area * x.hoseC +
        t.boxKg * waterCp * x.boxC;
      const before = stored();
      let [fuelKj, workKj, roomKj, overboardKj] = [0, 0, 0, 0];
      const { roomC, seaC } = calm;
      const account = () => {
        fuelKj += dtS * engine.fuelKw;
        workKj += dtS * engine.brakeKw;
        roomKj +=
          dtS *
          (t.roomShare * engine.fuelKw +
            t.blockKwPerK * (engine.coolantC - roomC) +
            (t.riserKjPerK / t.riserTauS) * (engine.riserC - roomC) +
            outside * area * (x.elbowC - roomC) +
            0.5 * outside * area * (x.hoseC - roomC) +
            0.002 * (x.boxC - roomC));
        overboardKj +=
          dtS *
          (engine.gasKgPerS * gasCp * (x.boxC - roomC) +
            engine.waterKgPerS * waterCp * (x.boxC - seaC) +
            x.vapourKgPerS * evaporation);
      };
      for (const [throttle, seconds] of [
        [0.05, 240],
        [0.7, 1500],
        [1, 300],
        [0.3, 300],
        [0, 900],
      ] as const) {
        engine.throttle = throttle;
        run(engine, seconds, account);
      }
      expect(fuelKj).toBeGreaterThan(0.3 * t.ratedKw * 1500);
      expect(Math.abs(fuelKj - workKj - roomKj - overboardKj - (stored() - before)) / fuelKj).toBeLessThan(
        0.005,
      );
    },
  );
});
