import type { Random } from '../../../node/bench/plant/random.js';

/**
 * How one invented boat is built. Every range is common practice on cruising boats, from memory and without a source;
 * the line says why it is as wide as it is. Both engines are one model; pumps, scale, fit of probes and plugs differ.
 */
export function drawBoat(random: Random, only?: 'generator') {
  const { between, chance } = random;
  const isGenerator = only === 'generator' || chance(0.15);
  const model = drawModel(random, isGenerator);
  return {
    isGenerator,
    engines: { port: drawEngine(random, model), starboard: drawEngine(random, model) },
    sea: {
      // Estuaries and the edges of currents are crossed in seconds to minutes; the open sea hardly changes.
      frontsPerHour: chance(0.5) ? between(0, 0.5) : between(0.5, 5),
      frontK: between(0.3, 3),
      frontS: between(20, 240),
      tideK: between(0, 1),
      // Weed and jellyfish: never for many, in some waters every other hour.
      weedPerHour: chance(0.6) ? 0 : between(0, 0.5),
      // Heave at a following or a head sea.
      waveS: between(3, 9),
      waveLoad: between(0.04, 0.3),
      gustLoad: between(0.01, 0.07),
      gustS: between(40, 300),
    },
    // A probe strapped to the seacock or the hose is slow and sees the room; one in the strainer does not.
    seaProbe: { tauS: between(5, 90), roomLeak: between(0, 0.1), wiring: drawWiring(random) },
    // From a locker under the companionway to an engine room with plated bulkheads; lockers breathe by themselves.
    room: {
      heatJPerK: between(30_000, 120_000) * (model.powerKw / 30) ** 0.5,
      ventWPerK: between(20, 110) * (model.powerKw / 30) ** 0.5,
    },
  };
}
export type BoatTraits = ReturnType<typeof drawBoat>;

function drawModel({ between, chance, next }: Random, isGenerator: boolean) {
  const powerKw = isGenerator ? 8 * 7 ** next() : 8 * 25 ** next();
  const isTurbo = powerKw > 45 && chance(0.8);
  const chargeIsCooled = isTurbo && chance(0.7);
  const isDirect = powerKw < 22 && !isTurbo && chance(0.15);
  const isJacketed = chance(0.4);
  return {
    isGenerator,
    powerKw,
    isTurbo,
    isDirect,
    // Sets turn at 1500 (50 Hz), 1800 (60 Hz) or 3000; small propulsion engines at up to 3800.
    ratedRpm: isGenerator ? pick(next(), [1500, 1800, 3000]) : between(2300, powerKw < 90 ? 3700 : 3300),
    idleRpm: between(650, 900),
    pistonMPerS: isGenerator ? between(5.5, 8) : between(6.5, 10),
    // Direct injection 75 kPa, chambers 110 kPa: the constant of the friction law in `engine.ts`.
    stillFrictionKpa: chance(0.6) ? 75 : 110,
    // Smoke limit 18 to 20; makers stay leaner, turbocharged ones more so.
    airPerFuel: isTurbo ? between(22, 27) : between(20.5, 24.5),
    turboBmepKpa: chargeIsCooled ? between(900, 1400) : between(700, 950),
    chargeIsCooled,
    bestIndicated: between(0.47, 0.51),
    // Small cylinders have more wall for their gas.
    wallShare: isTurbo ? between(0.14, 0.2) : between(0.18, 0.25),
    jacketNtu: isTurbo && chance(0.4) ? between(0.02, 0.08) : between(0.2, 0.5),
    // Governors of propulsion engines droop by 5 to 10 % of rated speed, of sets by 2 to 5.
    droop: isGenerator ? between(0.02, 0.05) : between(0.05, 0.1),
    spinUpS: between(0.4, 1.2),
    propellerMatch: between(0.8, 1.08),
    alternatorKw: isGenerator ? between(0.2, 0.5) : Math.min(0.15 * powerKw, between(0.6, 4)),
    // Direct raw-water cooling opens at 52 to 60 C, so that salt does not settle.
    thermostatC: isDirect ? between(52, 60) : between(70, 87),
    thermostatSpanK: between(7, 14),
    waxS: between(6, 40),
    hottestC: isDirect ? between(62, 70) : between(86, 97),
    rawRiseK: between(7, 20),
    // A large engine may send part of its raw water past the elbow.
    bypass: powerKw > 60 && chance(0.2) ? between(0.1, 0.4) : 0,
    elbow: {
      ...pick(next(), metals),
      isJacketed,
      // Double-walled elbows are cooled to the flange; a spray ring cools only what is behind it.
      jacketCover: isJacketed ? between(0.4, 0.9) : between(0.02, 0.15),
      wallTimes: between(0.8, 1.2),
      gasMPerS: between(22, 45),
      lengthDiameters: between(3.5, 6.5),
      riserDiameters: between(1, 6),
      riserLagged: chance(0.7),
      contact: between(0.88, 0.98),
      wet: between(0.6, 0.95),
      bend: between(1.4, 2.6),
      // Rubber 6 to 10 mm, fibreglass 4, a stainless tube 2: hence slow or quick.
      hoseS: pick(next(), [30, 18, 6]) * between(0.7, 1.4),
    },
  };
}
type Model = ReturnType<typeof drawModel>;

/** Wall thickness of castings and of bent stainless tube; density, heat and conduction from memory of handbooks. */
const metals = [
  { metal: 'cast iron', castMm: 7, kgPerM3: 7200, jPerKgK: 500, wPerMK: 50 },
  { metal: 'bronze', castMm: 6, kgPerM3: 8700, jPerKgK: 380, wPerMK: 60 },
  { metal: 'stainless', castMm: 2.5, kgPerM3: 7900, jPerKgK: 500, wPerMK: 16 },
];
const pick = <T>(share: number, from: readonly T[]): T => from[Math.floor(share * from.length)] as T;

function drawEngine(random: Random, model: Model) {
  const { between, chance } = random;
  return {
    ...model,
    // A rope, growth or one bent blade: twins never pull alike.
    hullLoad: between(0.96, 1.05),
    raw: {
      part: between(0.94, 1.06),
      slip: between(0.03, 0.15),
      suctionKpa: between(4, 18),
      dischargeKpa: between(20, 90),
      // Vane pumps lift 3 to 7 m of water before they lose it.
      vacuumKpa: between(35, 70),
      // The pump sits above or below the waterline, the loop 0.3 to 1 m above the pump.
      seaHeadKpa: between(-6, 4),
      loopKpa: between(2, 10),
      // Scoops that face forward or aft, by the square of the boat's speed.
      ramKpa: between(-3, 8),
      // 1 to 6 m of hose and a strainer; and how fast a weeping fitting lets it run empty after a stop.
      lineL: between(0.4, 3) * (model.powerKw / 30) ** 0.4,
      drainedPerHour: chance(0.25) ? between(0.05, 1) : 0,
      airAtFitting: chance(0.15) ? between(0.005, 0.06) : 0,
      // A seacock near the waterline of a rolling boat is out of the water for a second or so.
      gulpsPerMinute: chance(0.4) ? between(0, 1) : 0,
      gulpS: between(0.1, 1.2),
      weep: chance(0.2) ? between(0.005, 0.06) : 0,
      runsOutS: between(0.4, 4),
    },
    scale: between(0, 0.25),
    probes: {
      ring: { tauS: between(3, 16), padS: between(1, 10), airLeak: between(0.02, 0.2), up: between(0, 0.05) },
      well: {
        wetS: between(1.5, 7),
        dryTimes: between(2, 5),
        stem: between(0.03, 0.25),
        wet: between(0.7, 0.98),
      },
      // Sheaths of 3 to 6 mm in gas at rated flow.
      gas: { tauS: between(2, 11), metalLeak: between(0.02, 0.15) },
      elbowWiring: drawWiring(random),
      gasWiring: drawWiring(random),
    },
  };
}
export type EngineTraits = ReturnType<typeof drawEngine>;

/** Ripple and shift while the alternator charges; contacts that corrode add ohms, so a thermistor reads colder. */
function drawWiring({ between, chance }: Random) {
  return {
    rippleK: chance(0.4) ? between(0.05, 0.5) : 0.02,
    shiftK: chance(0.4) ? between(-0.6, 0.6) : 0,
    contactK: chance(0.2) ? between(0.1, 0.9) : 0,
    contactS: between(3000, 20_000),
  };
}
export type WiringTraits = ReturnType<typeof drawWiring>;
