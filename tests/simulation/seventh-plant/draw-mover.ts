import type { Random } from '../../../node/bench/plant/random.js';
import { dieselJPerKg, exhaustJPerKgK } from './heat.js';
import type { BoatKind, MoverTraits } from './traits.js';

/** Air that makers rate their engines with, C. */
const ratedAirC = 25;

/** Rated powers that owners' boats have, kW: from, to. */
const powersKw: Readonly<Record<BoatKind, readonly [number, number]>> = {
  sail: [8, 55],
  displacement: [40, 150],
  planing: [110, 250],
  generator: [5, 32],
};
const turboChance: Readonly<Record<BoatKind, number>> = {
  sail: 0.15,
  displacement: 0.55,
  planing: 1,
  generator: 0,
};
const aftercoolerChance: Readonly<Record<BoatKind, number>> = {
  sail: 0,
  displacement: 0.4,
  planing: 0.95,
  generator: 0,
};
/** Slope of power over speed: near 3 for a hull that stays down, less for one that rises. */
const propellers: Readonly<Record<BoatKind, readonly [number, number]>> = {
  sail: [2.75, 3.1],
  displacement: [2.7, 3.05],
  planing: [2.2, 2.7],
  generator: [3, 3],
};

/** Size of an engine against one of 50 kW; surfaces and masses go with powers of it. */
export const sizeOf = (mover: MoverTraits): number => mover.ratedKw / 50;

/** Fuel power at rated power, W. */
export const ratedFuelW = (mover: MoverTraits): number =>
  (mover.ratedKw * 1000 * (1 + mover.frictionPart)) / mover.indicatedEfficiency;

/** Exhaust gas at rated power, kg/s. */
export const ratedGasKgPerS = (mover: MoverTraits): number =>
  (ratedFuelW(mover) / dieselJPerKg) * (mover.airFuelRatio + 1);

/**
 * A diesel whose heat goes where handbooks say: friction an eighth to a quarter, a quarter of the fuel to the coolant,
 * and exhaust of 380 to 600 C at rated power. The ratio of air to fuel follows from that balance.
 */
export function drawMover(random: Random, kind: BoatKind): MoverTraits {
  const { between, chance } = random;
  const [low, high] = powersKw[kind];
  const ratedKw = low * (high / low) ** random.next();
  const turbo = ratedKw > 25 && chance(turboChance[kind]);
  const aftercooled = turbo && chance(aftercoolerChance[kind]);
  const indicatedEfficiency = turbo ? between(0.43, 0.47) : between(0.39, 0.44);
  const frictionPart = turbo
    ? between(0.1, 0.16)
    : kind === 'generator'
      ? between(0.12, 0.18)
      : between(0.16, 0.25);
  const coolantShare = turbo ? between(0.2, 0.26) : between(0.25, 0.31);
  const radiatedShare = between(0.012, 0.024);
  const aftercoolerShare = aftercooled ? between(0.03, 0.05) : 0;
  const exhaustC = turbo ? between(380, 530) : between(460, 600);
  const brakeShare = indicatedEfficiency / (1 + frictionPart);
  const exhaustShare = 1 - brakeShare - coolantShare - radiatedShare - aftercoolerShare;
  const gasPerFuel = (exhaustShare * dieselJPerKg) / (exhaustJPerKgK * (exhaustC - ratedAirC));
  const size = ratedKw / 50;
  const [flat, steep] = propellers[kind];
  return {
    ratedKw,
    idlePart: kind === 'planing' ? between(0.2, 0.26) : between(0.24, 0.32),
    governed: kind === 'generator',
    boost: turbo ? between(0.6, 1.3) : 0,
    indicatedEfficiency,
    frictionPart,
    airFuelRatio: gasPerFuel - 1,
    coolantShare,
    coolantShareMoreAtIdle: between(0.04, 0.14),
    radiatedShare,
    aftercoolerShare,
    powerExponent: between(0.3, 0.9),
    propellerExponent: between(flat, steep),
    propellerFit: kind === 'sail' ? between(0.6, 0.97) : between(0.8, 0.98),
    governorS: between(0.4, 1.5),
    crankS: between(0.6, 2.5),
    alternatorKw: kind === 'generator' ? 0.1 : Math.min(0.1 * ratedKw, between(0.3, 2.8)),
    alternatorS: between(300, 1800),
    manifoldJPerK: 2800 * size ** 0.8 * between(0.7, 1.6),
    manifoldNtu: between(0.15, 0.45),
    manifoldLossWPerK: size ** 0.7 * between(2, 5),
  };
}
