import type { Random } from '../../../node/bench/plant/random.js';
import { drawElbow, drawProbes } from './draw-elbow.js';
import { drawMover, sizeOf } from './draw-mover.js';
import { drawCooling, drawCoolingKind, drawRawWater } from './draw-water.js';
import type { BoatKind, BoatTraits, EngineTraits, ProbeTraits } from './traits.js';

const propelled: readonly BoatKind[] = ['sail', 'displacement', 'planing'];

/** An invented boat of `kind`, or of any kind that her two engines drive. */
export function drawBoat(random: Random, kind?: BoatKind): BoatTraits {
  const drawn = kind ?? (propelled[Math.floor(random.next() * 3)] as BoatKind);
  return makeBoat(random, drawn);
}

function makeBoat(random: Random, kind: BoatKind): BoatTraits {
  const { between, chance } = random;
  const mover = drawMover(random, kind);
  const coolingKind = drawCoolingKind(random, kind, mover.ratedKw);
  const raw = drawRawWater(random, mover, coolingKind, kind);
  const first: EngineTraits = {
    mover,
    raw,
    cooling: drawCooling(random, coolingKind, mover, raw),
    elbow: drawElbow(random, mover, raw, kind),
    probes: drawProbes(random),
    wear: {
      impeller: between(0, 0.08),
      exchanger: between(0, 0.15),
      hull: between(0, 0.06),
      strainer: between(0, 0.4),
      gasK: between(0, 15),
    },
  };
  const size = sizeOf(mover);
  const planing = kind === 'planing';
  return {
    kind,
    ratedRpm: kind === 'generator' ? (chance(0.5) ? 1500 : 3000) : between(2400, 3600),
    engines: { port: first, starboard: sisterOf(first, random, kind) },
    commonChest: chance(0.25),
    wayS: planing ? between(5, 12) : between(8, 25),
    slipLoad: between(0.15, 0.5),
    waveLoad: between(0.04, 0.2),
    wavePeriodS: between(3, 7),
    roomJPerK: size ** 0.6 * between(60_000, 300_000),
    roomWPerK: size ** 0.7 * between(30, 100),
    fanWPerK: mover.ratedKw > 80 || chance(0.6) ? 2 * mover.ratedKw * between(0.5, 2) : 0,
    harbourK: between(0, 2.5),
    frontK: between(0.4, 1.8),
    seaWanderK: between(0.05, 0.5),
    seaWanderS: between(200, 1200),
    seaProbeS: between(8, 70),
    seaProbeLeak: between(0, 0.07),
    seaProbeStandingLeak: between(0.08, 0.4),
  };
}

/** The same model from the same works: castings, pumps and thermostats differ a little, now and then an elbow is newer. */
function sisterOf(one: EngineTraits, random: Random, kind: BoatKind): EngineTraits {
  const { between, chance } = random;
  const near = (value: number, part: number): number => value * between(1 - part, 1 + part);
  const { mover, raw, cooling, elbow, probes, wear } = one;
  const ratedLitresPerS = near(raw.ratedLitresPerS, 0.05);
  const sisterRaw = {
    ...raw,
    ratedLitresPerS,
    beltSlip: near(raw.beltSlip, 0.5),
    suctionKpa: near(raw.suctionKpa, 0.25),
    airLeak: near(raw.airLeak, 0.6),
    hoseLitres: near(raw.hoseLitres, 0.3),
    downstreamLitres: near(raw.downstreamLitres, 0.05),
    drainS: near(raw.drainS, 0.3),
    dischargeKpa: near(raw.dischargeKpa, 0.15),
    primeS: near(raw.primeS, 0.5),
  };
  const cast = chance(0.12)
    ? drawElbow(random, mover, sisterRaw, kind)
    : {
        ...elbow,
        ratedWaterKgPerS: elbow.ratedWaterKgPerS * (ratedLitresPerS / raw.ratedLitresPerS),
        filmWPerM2K: near(elbow.filmWPerM2K, 0.12),
        skinGasWet: near(elbow.skinGasWet, 0.15),
        jacketKept: near(elbow.jacketKept, 0.1),
        sprayRatio: near(elbow.sprayRatio, 0.12),
      };
  const { thermostat } = cooling;
  return {
    mover: {
      ...mover,
      indicatedEfficiency: near(mover.indicatedEfficiency, 0.012),
      propellerFit: near(mover.propellerFit, 0.015),
      alternatorKw: chance(0.4) ? mover.alternatorKw * 0.3 : mover.alternatorKw,
      idlePart: near(mover.idlePart, 0.03),
    },
    raw: sisterRaw,
    cooling: {
      ...cooling,
      ratedWPerK: near(cooling.ratedWPerK, 0.08),
      thermostat: {
        ...thermostat,
        opensC: thermostat.opensC + between(-2, 2),
        stick: chance(0.1) ? between(0.1, 0.25) : thermostat.stick,
        leak: chance(0.1) ? between(0.03, 0.12) : thermostat.leak,
      },
    },
    elbow: cast,
    probes: fixedByTheSameHand(probes, random),
    wear: { ...wear, impeller: near(wear.impeller, 0.4), exchanger: near(wear.exchanger, 0.4) },
  };
}

/** One owner fixes both rings in one way, and never quite equally. */
function fixedByTheSameHand(probes: ProbeTraits, random: Random): ProbeTraits {
  const { between } = random;
  return {
    ...probes,
    ringS: probes.ringS * between(0.75, 1.3),
    ringContact: Math.min(0.99, 1 - (1 - probes.ringContact) * between(0.7, 1.4)),
    wellS: probes.wellS * between(0.8, 1.25),
    wellStem: probes.wellStem * between(0.8, 1.2),
    gasS: probes.gasS * between(0.8, 1.25),
    gasStem: probes.gasStem * between(0.7, 1.3),
  };
}
