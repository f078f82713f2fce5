import type { Random } from '../../../node/bench/plant/random.js';
import type { SecondPlantOptions } from '../second-plant/second-plant.js';
import type { Structure } from '../second-plant/structure.js';
import type { Traits } from '../second-plant/traits.js';

/**
 * The third plant: written down before anything was run on it; since its first record causes of false alerts have been looked
 * for on it. The laws are those of the second plant's family, but how the boat is built is drawn as well, and the
 * traits come from wider ranges by another rule: evenly by their logarithm, so that small ones are as likely as large ones,
 * and each engine is further from its twin. Invented; common practice, no source, unless a line says otherwise.
 */
export function drawThird(
  random: Random,
): Pick<SecondPlantOptions, 'port' | 'starboard' | 'structure' | 'seaTauS' | 'seaLeak'> {
  const structure = drawStructure(random);
  return {
    structure,
    ...drawPair(random, structure.nodes),
    seaTauS: evenly(random, 4, 90),
    seaLeak: random.between(0, 0.1),
  };
}

const evenly = ({ between }: Random, low: number, high: number): number =>
  Math.exp(between(Math.log(low), Math.log(high)));

function drawStructure(random: Random): Structure {
  const { between, chance } = random;
  const vapourK = between(25, 60);
  const charged = chance(0.7) ? between(0.5, 1.2) : 0;
  return {
    nodes: 3 + Math.floor(between(0, 6)),
    sprayGrip: between(0.6, 1.3),
    sprayPower: between(0.35, 0.7),
    // Vapour pressure grows about exponentially.
    evaporating: (waterC) => 0.85 * Math.exp((Math.min(100, waterC) - 100) / vapourK),
    // Water dances on metal from about 150 to 250 C; from memory.
    filmBoilsC: between(150, 250),
    boilingFilm: between(0.1, 0.3),
    // A displacement hull asks for about the square of the speed, a planing one for less.
    propellerPower: between(1.4, 2.4),
    breathes: charged === 0 ? between(1.2, 1.5) : between(0.7, 1),
    charged,
    thermostatLeaks: chance(0.5) ? between(0.01, 0.08) : 0,
    thermostat: chance(0.7) ? 'two-lines' : 'sticks',
    heldKgPerKw: evenly(random, 0.006, 0.03),
  };
}

function drawPair(random: Random, nodes: number): { port: Traits; starboard: Traits } {
  const { between } = random;
  const log = (low: number, high: number) => evenly(random, low, high);
  const ratedKw = log(25, 450);
  const shared = {
    ratedKw,
    ratedRpm: log(1800, 4000),
    metalKjPerK: log(0.015, 0.07),
    metalCoolingMin: log(6, 70),
    wallMm: log(1.8, 10),
    exhaustShare: between(0.18, 0.3),
    thermostatC: between(65, 86),
    propeller: between(0.75, 1.02),
  };
  const one = (): Traits => ({
    ...shared,
    propeller: shared.propeller * between(0.96, 1.04),
    ratedFlow: ratedKw * log(0.012, 0.023),
    vaneLeak: log(0.008, 0.1),
    standingKpa: between(2, 18),
    circuitKpa: log(35, 130),
    suctionKpa: log(3, 16),
    bagLeak: between(0, 0.1),
    thermostatC: shared.thermostatC + between(-3, 3),
    waxTauS: log(8, 60),
    waxSticksK: log(0.2, 2.5),
    metalCoolingMin: shared.metalCoolingMin * between(0.75, 1.25),
    alongWPerK: log(0.4, 4),
    flangeWPerK: log(0.03, 0.5),
    probes: {
      padTauS: log(2, 14),
      beadTauS: log(2, 12),
      roomLeak: log(0.005, 0.12),
      node: 1 + Math.floor(between(0, nodes - 2)),
      wellWetTauS: log(1, 6),
      wellDryTauS: log(15, 60),
      stemLeak: log(0.01, 0.15),
      gasTauS: log(1.5, 10),
      gasStillTauS: log(40, 200),
      gasStemLeak: log(0.02, 0.2),
    },
  });
  return { port: one(), starboard: one() };
}
