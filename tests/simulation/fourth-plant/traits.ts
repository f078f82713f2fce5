import type { Random } from '../../../node/bench/plant/random.js';

export type Traits = ReturnType<typeof drawOne>;

/**
 * Two engines of one make and one installation each. Ranges are what the author knows of cruising engines of 10 to 120 kW
 * (from memory; common practice, no source) unless a line names a textbook: [H] Heywood, Internal Combustion Engine
 * Fundamentals; [I] Incropera and DeWitt, heat transfer; both quoted from memory.
 */
export function drawTwins(random: Random): { port: Traits; starboard: Traits } {
  const make = drawMake(random);
  return { port: drawOne(random, make), starboard: drawOne(random, make) };
}

const evenly = ({ between }: Random, low: number, high: number) =>
  Math.exp(between(Math.log(low), Math.log(high)));

function drawMake(random: Random) {
  const { between, chance } = random;
  const ratedKw = evenly(random, 10, 120);
  const charged = ratedKw > 35 && chance(0.6);
  const ratedRpm = between(2400, 3800);
  // Rated mean effective pressures, kPa [H]; displacement follows from a power stroke every second turn.
  const bmepKpa = charged ? between(850, 1250) : between(560, 720);
  const sailDrive = ratedKw < 55 && chance(0.4);
  const kind = sailDrive ? 'sail-drive' : chance(0.25) ? 'sea-chest' : 'through-hull';
  const propeller = (['fixed', 'folding', 'variable'] as const)[Math.floor(between(0, 3))] ?? 'fixed';
  return {
    ratedKw,
    intake: kind,
    propeller,
    ratedRpm,
    displacementM3: (120 * ratedKw) / (bmepKpa * ratedRpm),
    idle: between(0.22, 0.3),
    pistonMPerS: between(7, 10.5),
    indicated: between(0.41, 0.46),
    // A charge of air that keeps charged engines as lean as the others at full load, and leaner.
    boost: charged ? (bmepKpa / 640) * between(1.05, 1.4) - 1 : 0,
    filling: between(0.8, 0.9),
    // Heat through cylinder walls, part of the fuel's, without friction [H]: coolant takes 16 to 35 % in all.
    wallShare: between(0.19, 0.27),
    // Radiated and blown by; a part of the fuel's heat.
    roomShare: between(0.015, 0.03),
    jacketNtu: chance(0.7) ? between(0.1, 0.45) : 0,
    torqueRise: between(0.05, 0.3),
    thermostatC: between(70, 85),
    blockKjPerK: ratedKw * evenly(random, 1.1, 2.6),
    blockKwPerK: 0.003 + 0.0002 * ratedKw,
    riserKjPerK: 0.4 + ratedKw * evenly(random, 0.03, 0.09),
    riserTauS: 60 * evenly(random, 6, 40),
    riserM: evenly(random, 0.12, 0.55),
    boreM: 0.0115 * Math.sqrt(ratedKw) * between(0.9, 1.2),
    elbowMm: between(3, 8),
    tank: chance(0.6) ? { kjPerK: 4.18 * between(20, 60), kwPerK: between(0.06, 0.2) } : undefined,
  };
}

function drawOne(random: Random, make: ReturnType<typeof drawMake>) {
  const { between, chance } = random;
  const apart = (part: number) => between(1 - part, 1 + part);
  const { ratedKw, intake } = make;
  const swept = ratedKw * evenly(random, 0.0145, 0.026);
  // A variable pitch is set by hand; a folding one has less blade.
  const torque = { fixed: [0.82, 1], folding: [0.72, 0.95], variable: [0.65, 1] }[make.propeller] as [
    number,
    number,
  ];
  const suctionKpa = { 'sail-drive': [6, 15], 'sea-chest': [2, 6], 'through-hull': [3, 11] }[intake] as [
    number,
    number,
  ];
  return {
    ...make,
    propellerTorque: between(...torque),
    propellerPower: between(1.75, 2.25),
    thermostatC: make.thermostatC + between(-2.5, 2.5),
    thermostatRangeK: between(8, 14),
    thermostatPlayK: between(0.5, 2),
    thermostatTauS: between(4, 14),
    thermostatLeaks: between(0, 0.03),
    riserTauS: make.riserTauS * apart(0.2),
    sweptKgPerS: swept,
    slipAt100Kpa: between(0.04, 0.28),
    standingKpa: between(1, 18),
    circuitKpa: evenly(random, 18, 90),
    suctionKpa: between(...suctionKpa),
    deepestKpa: between(55, 85),
    lineTauS: between(0.5, 4),
    /** How readily the intake draws air, 0 to 1: a sea chest lets it out. */
    gulps: intake === 'sea-chest' ? between(0, 0.2) : between(0.1, 1),
    bagLeak: between(0, 0.08),
    coolerKwPerK: ratedKw * between(0.022, 0.038),
    coolantKwPerK: ratedKw * between(0.09, 0.2),
    rawHeldKg: 0.3 + ratedKw * between(0.008, 0.025),
    elbowBores: between(2.5, 5),
    mixingM: evenly(random, 0.05, 0.25),
    saturates: between(0.5, 0.95),
    /** Most of the wall that spray reaches; wetting rate that covers it, kg/(m s): films break below some 0.02 to 0.1 [I]. */
    reach: between(0.75, 0.96),
    wettingKgPerMS: between(0.03, 0.15),
    filmTauS: between(1, 4),
    filmKwPerM2K: between(1.5, 4),
    flangeKwPerK: between(0.1, 0.6) * 1e-3 * Math.sqrt(ratedKw / 20),
    hoseJointKwPerK: between(0.2, 1.2) * 1e-3,
    splashKwPerK: between(0.5, 4) * 1e-3,
    boxKg: evenly(random, 1.5, 12),
    probes: {
      strapTauS: evenly(random, 3, 20),
      roomLeak: between(0.005, 0.1),
      nearRiser: chance(0.5) ? between(0, 0.05) : 0,
      wellWetTauS: evenly(random, 1, 6),
      wellGas: between(0.03, 0.12),
      wellStem: between(0.02, 0.12),
      gasTauS: evenly(random, 2, 10),
      gasStillTauS: evenly(random, 40, 180),
      gasStem: between(0.02, 0.2),
    },
  };
}
