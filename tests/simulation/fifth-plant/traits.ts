import type { Random } from '../../../node/bench/plant/random.js';
import { drawModel, type Kind } from './model.js';

export type EngineTraits = ReturnType<typeof drawEngine>;
export type BoatTraits = ReturnType<typeof drawBoat>;

/** Two engines of one model with their own age and fitting, in one engine room. All ranges: common practice, no source. */
export function drawBoat(random: Random, only?: Kind) {
  const lot = random.next();
  const model = drawModel(random, only ?? (lot < 0.42 ? 'natural' : lot < 0.88 ? 'turbo' : 'generator'));
  const engines = { port: drawEngine(random, model), starboard: drawEngine(random, model) };
  const kilowatts = (2 * model.ratedW) / 1000;
  return {
    engines,
    room: {
      joulesPerK: kilowatts * random.between(250, 900) + 20_000,
      hullWPerK: kilowatts ** 0.7 * random.between(1.5, 5),
      fanWPerK: random.chance(0.7) ? kilowatts * random.between(0.5, 3) : 0,
      fanRunOnS: random.chance(0.4) ? random.between(60, 900) : 0,
    },
    sea: {
      tauS: random.between(3, 70),
      atStrainer: random.chance(0.45),
      roomLeak: random.between(0, 0.07),
      frontsPerHour: random.between(0, 1.5),
      frontK: random.between(0.3, 1.8),
      tideK: random.between(0, 0.5),
      waveS: random.between(3.5, 9),
    },
  };
}

/** What differs between two engines of one model: fitting, wear, and the mounting of the probes. */
function drawEngine(random: Random, model: ReturnType<typeof drawModel>) {
  const near = (value: number, part = 0.04) =>
    value * (1 + part * Math.max(-2, Math.min(2, random.normal())));
  return {
    ...model,
    frictionPa: near(model.frictionPa),
    rawKgPerS: near(model.rawKgPerS, 0.06),
    thermostatC: model.thermostatC + 1.2 * random.normal(),
    covered: Math.min(0.99, near(model.covered, 0.02)),
    scale: random.between(0.75, 1),
    propeller: random.between(0.85, 1.03),
    hullS: random.between(8, 50),
    hump: random.between(0.1, 0.5),
    crankS: random.between(0.6, 2.5),
    intake: {
      headKpa: random.between(-4, 6),
      lineKpa: random.between(3, 10),
      strainerKpa: random.between(1.5, 6),
      outKpa: random.between(20, 60),
      liftKpa: random.between(0, 9),
      slip: random.between(0.05, 0.16),
      lineL: model.rawKgPerS * random.between(1, 5),
      drainL: random.chance(0.6) ? model.rawKgPerS * random.between(0.1, 1.2) : 0,
      coolerL: model.rawKgPerS * random.between(1.5, 5),
      gulpsPerS: random.between(0, 0.02),
    },
    probes: {
      ringLeak: random.between(0.01, 0.16),
      ringTowardRiser: random.chance(0.25) ? random.between(0, 0.12) : random.between(0, 0.05),
      ringS: random.between(6, 35),
      wellStem: random.between(0.03, 0.25),
      wellDry: random.between(0.05, 0.45),
      wellS: random.between(2.5, 10),
      gasBeforeTurbo: model.kind === 'turbo' && random.chance(0.3),
      gasStem: random.between(0.02, 0.15),
      gasS: random.between(3, 18),
    },
  };
}
