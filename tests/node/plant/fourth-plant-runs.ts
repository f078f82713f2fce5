import { makeRandom } from '../../../node/bench/plant/random.js';
import { HeatEngine } from '../../simulation/fourth-plant/heat-engine.js';
import { drawTwins, type Traits } from '../../simulation/fourth-plant/traits.js';

/**
 * Physics only: expected values are worked out here, by hand or from laws written down again. Constants: exhaust gas 1.11 and
 * sea water 3.99 kJ/(kg K), evaporation 2380 kJ/kg near 50 C, steel 3600 kJ/(m3 K), rubber hose 8 kJ/(m2 K); textbook tables,
 * from memory.
 */
export const [gasCp, waterCp, evaporation] = [1.11, 3.99, 2380];
export const calm = { seaC: 15, roomC: 25, load: 1, generatorKw: 0, hand: 0, open: 1, air: 0, surgeKpa: 0 };
export const dtS = 0.2;
export const seeds = [1, 2, 3, 4];

export const traitsOf = (seed: number): Traits => drawTwins(makeRandom(seed)).port;
export const run = (engine: HeatEngine, seconds: number, each: () => void = () => undefined): void => {
  for (let s = dtS / 2; s < seconds; s += dtS) {
    engine.step(dtS, calm);
    each();
  }
};
/** A thermostat that is always open, so that nothing hunts and all comes to rest. */
export const steadyAt = (
  throttle: number,
  seed: number,
  change: Partial<Traits> = {},
  hours = 0.7,
): HeatEngine => {
  const engine = new HeatEngine({ ...traitsOf(seed), thermostatC: -50, ...change }, calm);
  engine.throttle = throttle;
  run(engine, hours * 3600);
  return engine;
};
/** Gas film by Dittus-Boelter as a formula of its own: 0.023 Re^0.8 Pr^0.4 k / d, k 0.052 W/(m K), 33 uPa s, Pr 0.7, x 2.5. */
export const gasFilm = (kgPerS: number, boreM: number) => {
  const metresPerSTimesDensity = kgPerS / ((Math.PI * boreM ** 2) / 4);
  const reynolds = (metresPerSTimesDensity * boreM) / 33e-6;
  return (2.5 * Math.max(3.66, 0.023 * reynolds ** 0.8 * 0.7 ** 0.4) * 0.052) / boreM / 1000;
};
export const ntu = (stream: number, ua: number) => stream * (1 - Math.exp(-ua / stream));
export const elbowAreaOf = (t: Traits) => Math.PI * t.boreM * (t.elbowBores * t.boreM);
export const outside = 0.015 * 1.8;
