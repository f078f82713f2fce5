import type { Random } from '../../../node/bench/plant/random.js';
import { ratedFuelW, sizeOf } from './draw-mover.js';
import { seaWaterJPerKgK, seaWaterKgPerLitre } from './heat.js';
import type { BoatKind, CoolingKind, CoolingTraits, MoverTraits, RawWaterTraits } from './traits.js';

/** The warmest sea for which builders size their exchangers, C. */
const warmestSeaC = 32;
/** Best that a tubular exchanger of one pass reaches. */
const bestEffectiveness = 0.85;
/** Dry mass of marine diesels from data sheets, by memory: 110 kg at 10 kW, 320 kg at 50 kW, 920 kg at 250 kW. */
const massKg = (ratedKw: number): number => 24 * ratedKw ** 0.66;

/** Small simple engines are cooled by the sea itself; a few hulls have keel coolers and a pump for the exhaust alone. */
export function drawCoolingKind(random: Random, kind: BoatKind, ratedKw: number): CoolingKind {
  const small = kind === 'sail' && ratedKw < 28;
  if (small && random.chance(0.25)) return 'direct';
  const keel = kind === 'sail' || kind === 'displacement' ? 0.08 : 0;
  return random.chance(keel) ? 'keel' : 'exchanger';
}

/** Raw water of 1.1 to 2 L/min for each kW; half of that where it cools the exhaust alone. */
export function drawRawWater(
  random: Random,
  mover: MoverTraits,
  cooling: CoolingKind,
  kind: BoatKind,
): RawWaterTraits {
  const { between, chance } = random;
  const size = sizeOf(mover);
  const perKw = cooling === 'keel' ? between(0.6, 1) : between(1.1, 2);
  const belt = mover.ratedKw < 60 && chance(0.45);
  const vented = chance(kind === 'sail' || kind === 'generator' ? 0.75 : 0.3);
  return {
    ratedLitresPerS: (mover.ratedKw * perKw) / 60,
    beltSlip: belt ? between(0.01, 0.07) : 0,
    suctionKpa: between(3, 12),
    strainerKpa: between(1, 3),
    vacuumLimitKpa: between(45, 70),
    hoseLitres: Math.sqrt(size) * between(0.05, 0.4),
    airLeak: chance(0.1) ? between(0.05, 0.15) : between(0, 0.04),
    downstreamLitres: 2 * size ** 0.8 * between(0.6, 1.6),
    keptPart: vented ? between(0.4, 0.9) : chance(0.5) ? 1 : between(0.85, 1),
    drainS: between(5, 90),
    dischargeKpa: between(25, 90),
    headKpa: between(2, 9),
    primeS: between(0.3, 5),
    gulps: kind === 'planing' ? between(0.3, 1) : between(0, 0.8),
  };
}

export function drawCooling(
  random: Random,
  kind: CoolingKind,
  mover: MoverTraits,
  raw: RawWaterTraits,
): CoolingTraits {
  const { between, chance } = random;
  const thermostat = {
    // Raw-water-cooled blocks stay below 60 C, or salt would settle in them.
    opensC: kind === 'direct' ? between(44, 55) : between(70, 83),
    spanK: between(8, 14),
    hysteresisK: between(1.5, 4),
    waxS: between(6, 20),
    stick: chance(0.12) ? between(0.1, 0.25) : between(0.01, 0.06),
    leak: chance(0.1) ? between(0.05, 0.15) : between(0, 0.04),
  };
  const size = sizeOf(mover);
  const heatW = ratedFuelW(mover) * mover.coolantShare;
  const coolantWPerK = heatW / between(6, 9);
  const needWPerK = (between(1.15, 1.7) * heatW) / (thermostat.opensC + 0.9 * thermostat.spanK - warmestSeaC);
  const rawWPerK = raw.ratedLitresPerS * seaWaterKgPerLitre * seaWaterJPerKgK;
  return {
    kind,
    thermostat,
    blockJPerK: massKg(mover.ratedKw) * between(260, 420),
    roomWPerK: size ** 0.66 * between(6, 14),
    ratedWPerK: kind === 'exchanger' ? exchangerWPerK(needWPerK, coolantWPerK, rawWPerK) : needWPerK,
    coolantWPerK,
    oilShare: between(0.015, 0.04),
  };
}

/** The conductance that brings `needWPerK` from inlet to inlet: the counterflow law solved for its transfer units. */
function exchangerWPerK(needWPerK: number, oneWPerK: number, otherWPerK: number): number {
  const least = Math.min(oneWPerK, otherWPerK);
  const ratio = Math.min(0.99, least / Math.max(oneWPerK, otherWPerK));
  const effectiveness = Math.min(bestEffectiveness, needWPerK / least);
  return (least * Math.log((1 - effectiveness * ratio) / (1 - effectiveness))) / (1 - ratio);
}
