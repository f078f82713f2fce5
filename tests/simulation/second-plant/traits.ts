import type { Random } from '../../../node/bench/plant/random.js';

/**
 * What makes one engine of the second plant differ from the next. Invented, with ranges wider than the first plant's;
 * common practice, no source, unless a line says otherwise.
 */
export type Traits = {
  readonly ratedKw: number;
  readonly ratedRpm: number;
  /** Part of the rated torque that the propeller asks for at rated speed. */
  readonly propeller: number;
  /** Raw water at rated speed with an open intake, kg/s. */
  readonly ratedFlow: number;
  /** Leakage past the vanes, part of the rated flow at 100 kPa. */
  readonly vaneLeak: number;
  /** Head from the sea up to the injection point, and drop of the circuit at rated flow, kPa. */
  readonly standingKpa: number;
  readonly circuitKpa: number;
  /** Drop of the clean intake (through-hull, strainer) at rated flow, kPa. */
  readonly suctionKpa: number;
  /** Part of the flow that a bag over the intake lets through. */
  readonly bagLeak: number;
  /** Wax element: where it begins to open, C, how late it follows, s, and how far it sticks, K. */
  readonly thermostatC: number;
  readonly waxTauS: number;
  readonly waxSticksK: number;
  /** Metal of riser and turbine that stays warm after a stop: time to cool by 63 %, min, and heat capacity, kJ/K a kW rated. */
  readonly metalCoolingMin: number;
  readonly metalKjPerK: number;
  /** Wall of the elbow, mm, conductance along it between nodes and to the riser's flange, W/K. */
  readonly wallMm: number;
  readonly alongWPerK: number;
  readonly flangeWPerK: number;
  /** Part of fuel heat that leaves as exhaust at rated load, less what the turbine takes. */
  readonly exhaustShare: number;
  readonly probes: ProbeTraits;
};

export type ProbeTraits = {
  /** The ring: pad and bead, two lags one behind the other, s, and the part of the reading that is room air. */
  readonly padTauS: number;
  readonly beadTauS: number;
  readonly roomLeak: number;
  /** Which node of the elbow the probe sits at, 1 or 2. */
  readonly node: number;
  readonly wellWetTauS: number;
  readonly wellDryTauS: number;
  /** Part of the well's reading that comes along its stem from the wall. */
  readonly stemLeak: number;
  readonly gasTauS: number;
  readonly gasStillTauS: number;
  /** Part of the gas probe's reading that is the metal it is screwed into. */
  readonly gasStemLeak: number;
};

/** Two engines of one make and power, unlike in what wears and how they were fitted. */
export function drawTraits(random: Random): { port: Traits; starboard: Traits } {
  const { between } = random;
  const ratedKw = between(60, 340);
  const shared = {
    ratedKw,
    ratedRpm: between(2000, 3900),
    metalKjPerK: between(0.02, 0.06),
    metalCoolingMin: between(8, 60),
    wallMm: between(2, 8),
    exhaustShare: between(0.2, 0.29),
    thermostatC: between(71, 84),
    propeller: between(0.82, 1),
  };
  const one = (): Traits => ({
    ...shared,
    propeller: shared.propeller * between(0.98, 1.02),
    ratedFlow: ratedKw * between(0.014, 0.02),
    vaneLeak: between(0.01, 0.08),
    standingKpa: between(3, 14),
    circuitKpa: between(45, 115),
    suctionKpa: between(4, 14),
    bagLeak: between(0, 0.1),
    thermostatC: shared.thermostatC + between(-2, 2),
    waxTauS: between(12, 45),
    waxSticksK: between(0.2, 2.2),
    metalCoolingMin: shared.metalCoolingMin * between(0.85, 1.15),
    alongWPerK: between(0.5, 3),
    flangeWPerK: between(0.05, 0.35),
    probes: {
      padTauS: between(3, 12),
      beadTauS: between(3, 10),
      roomLeak: between(0.01, 0.1),
      node: random.chance(0.5) ? 1 : 2,
      wellWetTauS: between(1.5, 5),
      wellDryTauS: between(20, 45),
      stemLeak: between(0.02, 0.12),
      gasTauS: between(2, 8),
      gasStillTauS: between(50, 160),
      gasStemLeak: between(0.03, 0.15),
    },
  });
  return { port: one(), starboard: one() };
}
