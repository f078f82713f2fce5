import type { Random } from '../../../node/bench/plant/random.js';
import { ratedGasKgPerS, sizeOf } from './draw-mover.js';
import { seaWaterKgPerLitre } from './heat.js';
import type { BoatKind, ElbowTraits, MoverTraits, ProbeTraits, RawWaterTraits } from './traits.js';

type Range = readonly [number, number];
type Material = { readonly kg: Range; readonly jPerKgK: number; readonly wPerK: Range };

/** Mass of skin at 50 kW (kg), specific heat (J/(kg K)) and conduction from the dry flange (W/K), from k and wall. */
const materials: readonly Material[] = [
  { kg: [3, 6], jPerKgK: 460, wPerK: [0.5, 1] },
  { kg: [1, 2.2], jPerKgK: 500, wPerK: [0.08, 0.25] },
  { kg: [2.5, 4.5], jPerKgK: 380, wPerK: [0.4, 0.9] },
];
const jacketedChance: Readonly<Record<BoatKind, number>> = {
  sail: 0.2,
  displacement: 0.5,
  planing: 0.75,
  generator: 0.3,
};

/** Cast iron, stainless or bronze; a short injection elbow, or a riser jacketed to its spray ring. */
export function drawElbow(
  random: Random,
  mover: MoverTraits,
  raw: RawWaterTraits,
  kind: BoatKind,
): ElbowTraits {
  const { between, chance } = random;
  const size = sizeOf(mover);
  const surface = size ** 0.7;
  const jacketed = chance(jacketedChance[kind]);
  const material = materials[Math.floor(random.next() * 3)] as Material;
  const skinJPerK = size ** 0.8 * between(...material.kg) * material.jPerKgK;
  return {
    ratedGasKgPerS: ratedGasKgPerS(mover),
    ratedWaterKgPerS: raw.ratedLitresPerS * seaWaterKgPerLitre,
    wetAreaM2: surface * between(0.035, 0.07),
    dryAreaM2: surface * between(0.015, 0.04),
    outsideAreaM2: surface * between(0.06, 0.1),
    skinJPerK,
    dryJPerK: skinJPerK * between(0.5, 1.1),
    conductionWPerK: size ** 0.6 * between(...material.wPerK),
    blockWPerK: size ** 0.6 * (mover.boost > 0 ? between(0.1, 0.5) : between(0.4, 1.4)),
    skinGasWet: jacketed ? between(0.02, 0.06) : between(0.05, 0.2),
    skinGasDry: jacketed ? between(0.25, 0.45) : between(0.8, 1),
    filmWPerM2K: jacketed ? between(1200, 2500) : between(700, 1800),
    jacketKg: size ** 0.9 * (jacketed ? between(0.4, 1.2) : between(0.06, 0.2)),
    jacketKept: jacketed ? between(0.15, 0.85) : between(0.05, 0.4),
    sprayRatio: between(0.6, 2),
    lagging: chance(0.6) ? between(0.25, 0.6) : 1,
    hoseJPerM2K: between(5000, 9000),
  };
}

/** How a careful owner, a hurried one and one without paste fix a ring; a well in the stream or in its lee. */
export function drawProbes(random: Random): ProbeTraits {
  const { between, chance } = random;
  const style = random.next();
  const glued = style < 0.3;
  const dry = style > 0.75;
  const sheltered = chance(0.25);
  return {
    ringS: glued ? between(4, 10) : dry ? between(12, 40) : between(6, 16),
    ringContact: glued ? between(0.96, 0.99) : dry ? between(0.82, 0.94) : between(0.92, 0.98),
    wellS: sheltered ? between(10, 30) : between(4, 14),
    wellStem: sheltered ? between(0.35, 0.8) : between(0.03, 0.25),
    gasS: between(1.5, 11),
    gasStem: between(0.02, 0.15),
    sootPerSeason: between(0, 0.8),
  };
}
