import type { PumpPressureTraits } from './pump-pressure.js';
import type { Random } from './random.js';
import type { TwinId } from './twins.js';

/** What makes one engine and its installation differ from the next. All invented, tuned only to facts of the trade. */
export type EngineTraits = {
  /** Rated power over 235 kW. */
  readonly size: number;
  /** Torque fraction the hull and propeller ask for at rated speed. */
  readonly hull: number;
  readonly thermostatC: number;
  /** Wall of the wet elbow. */
  readonly wallMm: number;
  /** Conductance from the hot manifold to the wet elbow through the flange. */
  readonly flangeWPerK: number;
  /** How fast the flow follows when the intake closes or opens. */
  readonly flowTauS: number;
  /** Part of the normal flow that a bag over the intake lets through. */
  readonly bagLeak: number;
  /** Exhaust gas of this engine against the type, kelvin. */
  readonly gasOffsetK: number;
  /** Raw-water flow of this engine against the type. */
  readonly flowFactor: number;
  readonly ringTauS: number;
  /** Part of the ring's temperature that is room air. */
  readonly ringLeak: number;
  readonly wellWetTauS: number;
  readonly wellGasTauS: number;
  readonly thermocoupleTauS: number;
  /** How long the metal of the dry riser and manifold, and the gas probe in it, take to cool by 63 % after a stop, min. */
  readonly metalCoolingMin: number;
  readonly ratedRpm: number;
  readonly pump: PumpPressureTraits;
  /** Inner wall of the elbow, m2. */
  readonly elbowAreaM2: number;
  /** A generator set: a governor keeps the speed, and the throttle is the electrical load. */
  readonly governed: boolean;
};

/** The boat of the bench: 235 kW each, everything in the middle. */
export const typicalEngine: EngineTraits = {
  size: 1,
  hull: 0.97,
  thermostatC: 78,
  wallMm: 4,
  flangeWPerK: 0.3,
  flowTauS: 2.5,
  bagLeak: 0.03,
  gasOffsetK: 0,
  flowFactor: 1,
  ringTauS: 12,
  ringLeak: 0.03,
  wellWetTauS: 3,
  wellGasTauS: 32,
  thermocoupleTauS: 4.5,
  metalCoolingMin: 13,
  ratedRpm: 2600,
  pump: { standingKpa: 6, circuitKpa: 80 },
  elbowAreaM2: 0.08,
  governed: false,
};

/** A generator set of some 15 kW: a small engine at its rated speed whatever it drives. Invented as the others. */
export const typicalGenerator: EngineTraits = {
  ...typicalEngine,
  size: 0.07,
  wallMm: 3,
  flangeWPerK: 0.05,
  flowTauS: 1.5,
  elbowAreaM2: 0.08 * 0.07 ** (2 / 3),
  governed: true,
};

export type TwinTraits = Readonly<Record<TwinId, EngineTraits>>;

/** Two engines of one invented boat, alike in make and power and unlike in the small things. */
export function drawEngines(random: Random): TwinTraits {
  const { between } = random;
  const size = between(70, 330) / 235;
  const hull = between(0.85, 1.0);
  const thermostatC = between(74, 82);
  const wallMm = between(2.2, 7);
  const flangeWPerK = between(0.12, 0.6);
  const metalCoolingMin = between(8, 60);
  const ratedRpm = between(2200, 3800);
  const pump = { standingKpa: between(3, 12), circuitKpa: between(50, 110) };
  const one = (): EngineTraits => ({
    size,
    hull: hull * between(0.99, 1.01),
    thermostatC: thermostatC + between(-1, 1),
    wallMm,
    flangeWPerK,
    flowTauS: between(1.5, 3.5),
    bagLeak: between(0, 0.1),
    gasOffsetK: between(-4, 4),
    flowFactor: between(0.96, 1.04),
    ringTauS: between(8, 20),
    ringLeak: between(0.01, 0.08),
    wellWetTauS: between(2, 4),
    wellGasTauS: between(25, 40),
    thermocoupleTauS: between(3, 6),
    metalCoolingMin: metalCoolingMin * between(0.9, 1.1),
    ratedRpm,
    pump: { ...pump, circuitKpa: pump.circuitKpa * between(0.95, 1.05) },
    elbowAreaM2: 0.08,
    governed: false,
  });
  return { port: one(), starboard: one() };
}
