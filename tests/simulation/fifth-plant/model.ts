import type { Random } from '../../../node/bench/plant/random.js';
import { dieselJPerKg } from './lump.js';

export type Kind = 'natural' | 'turbo' | 'generator';

/** Stoichiometric air, kg for each kg of diesel. */
export const stoichiometric = 14.6;

/** What both engines have from their maker: power, air, fuel, water, and an exhaust pipe to fit the gas. */
export function drawModel(random: Random, kind: Kind) {
  const turbo = kind === 'turbo';
  const pick = ([low, high]: readonly [number, number]) => low * (high / low) ** random.next();
  const kilowatts = pick(turbo ? [45, 250] : kind === 'generator' ? [15, 60] : [15, 75]);
  const small = (100 / kilowatts) ** 0.25;
  const ratedRpm =
    kind === 'generator'
      ? kilowatts < 25 && random.chance(0.5)
        ? 3000
        : 1500
      : random.between(2300, 3000) * small ** 0.4;
  const afterCooler = turbo && random.chance(0.7) ? random.between(0.45, 0.75) : 0;
  const bmepPa = turbo ? random.between(9.5e5, afterCooler ? 16e5 : 12e5) : random.between(5.2e5, 6.5e5);
  const frictionPa = random.between(1.2e5, 1.8e5);
  const indicated = random.between(0.43, 0.47);
  const sweptM3 = (kilowatts * 120_000) / (bmepPa * ratedRpm);
  const fuelW = (kilowatts * 1000 * (1 + frictionPa / bmepPa)) / indicated;
  const lambda = random.between(1.75, 2.15);
  // A natural engine gets what its cylinders hold; a turbocharger is matched to the air that the fuel needs.
  const naturalKgPerS = (random.between(0.82, 0.92) * 1.12 * sweptM3 * ratedRpm) / 120;
  const airKgPerS = turbo ? (lambda * stoichiometric * fuelW) / dieselJPerKg : naturalKgPerS;
  const boreM = Math.sqrt((4 * airKgPerS) / (Math.PI * 0.52 * random.between(20, 45)));
  const areaM2 = Math.PI * boreM * (0.06 + boreM * random.between(1.5, 3.5));
  // Dittus and Boelter in a smooth pipe, times a bend and the pulses.
  const reynolds = (4 * airKgPerS) / (Math.PI * boreM * 3.2e-5);
  const gasWPerM2K = ((0.02 * 0.05) / boreM) * reynolds ** 0.8 * random.between(1.3, 2.4);
  const iron = random.chance(0.6);
  const elbowKg =
    areaM2 *
    7700 *
    (iron ? random.between(0.0055, 0.009) : random.between(0.0025, 0.004)) *
    random.between(1.3, 2);
  return {
    kind,
    ratedW: kilowatts * 1000,
    ratedRpm,
    idleRpm: random.between(0.23, 0.3) * ratedRpm,
    lever: random.between(0.8, 1.25),
    bmepPa,
    frictionPa,
    indicated,
    sweptM3,
    fuelW,
    airKgPerS,
    boost: turbo ? Math.max(1.3, airKgPerS / naturalKgPerS) : 1,
    boostTauS: random.between(0.6, 2.5),
    compressor: random.between(0.66, 0.76),
    afterCooler,
    wallPart: turbo ? random.between(0.18, 0.24) : random.between(0.15, 0.22),
    torqueRise: random.between(0.03, 0.2),
    spinS: random.between(0.5, 1.2),
    // Small engines have more water for their power: 27 to 50 l/min at 15 kW, 110 to 200 at 250 kW.
    rawKgPerS: kilowatts * random.between(0.009, 0.0165) * small,
    blockJPerK: kilowatts * small * random.between(1500, 3000),
    blockWPerK: kilowatts * random.between(0.6, 1.6),
    thermostatC: random.chance(0.15) ? random.between(48, 60) : random.between(68, 83),
    thermostatK: random.between(8, 14),
    waxS: random.between(8, 30),
    exchangerMargin: random.between(1.15, 1.9),
    oilPart: random.between(0, 0.4),
    areaM2,
    gasWPerM2K,
    elbowJPerK: elbowKg * 480,
    riserJPerK: elbowKg * 480 * random.between(1, 3),
    riserAreaM2: areaM2 * random.between(1.5, 3.5),
    manifoldJacketWPerK: random.chance(0.45) ? kilowatts * random.between(1, 3.5) : 0,
    riserLossWPerM2K: random.chance(0.6) ? random.between(4, 9) : random.between(18, 35),
    flangeWPerK: boreM * random.between(6, 22),
    headWPerK: boreM * random.between(20, 70),
    covered: random.between(0.86, 0.985),
    jacketS: random.chance(0.4) ? random.between(3, 15) : random.between(0.4, 2),
    filmS: random.between(0.3, 1.5),
    leidenfrostC: random.between(220, 320),
  };
}
