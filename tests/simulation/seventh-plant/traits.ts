import type { TwinId } from '../../../node/bench/plant/twins.js';

/** What a boat is: a sailing yacht, a displacement cruiser, a planing cruiser, or any boat seen by her generator sets. */
export type BoatKind = 'sail' | 'displacement' | 'planing' | 'generator';

/** The diesel as a source of power and heat. Parts are of rated speed or power. */
export type MoverTraits = {
  readonly ratedKw: number;
  readonly idlePart: number;
  readonly governed: boolean;
  /** Extra air that full boost brings, of the naturally aspirated flow; 0 has no turbocharger. */
  readonly boost: number;
  readonly indicatedEfficiency: number;
  /** Friction and pumping at rated speed, of rated power. */
  readonly frictionPart: number;
  /** Air to fuel at rated power, by mass. */
  readonly airFuelRatio: number;
  /** Fuel power that the coolant takes at rated power, and how much more of it near no load. */
  readonly coolantShare: number;
  readonly coolantShareMoreAtIdle: number;
  readonly radiatedShare: number;
  readonly aftercoolerShare: number;
  /** Full-load power goes with speed to this power. */
  readonly powerExponent: number;
  /** The propeller asks power as speed to this power. */
  readonly propellerExponent: number;
  /** Power that the clean propeller asks at rated speed, of rated power. */
  readonly propellerFit: number;
  readonly governorS: number;
  readonly crankS: number;
  readonly alternatorKw: number;
  readonly alternatorS: number;
  readonly manifoldJPerK: number;
  readonly manifoldNtu: number;
  readonly manifoldLossWPerK: number;
};

export type CoolingKind = 'exchanger' | 'keel' | 'direct';

export type ThermostatTraits = {
  readonly opensC: number;
  readonly spanK: number;
  readonly hysteresisK: number;
  readonly waxS: number;
  /** The valve moves only when it is this much of its stroke away from where it should be. */
  readonly stick: number;
  readonly leak: number;
};

export type CoolingTraits = {
  readonly kind: CoolingKind;
  readonly thermostat: ThermostatTraits;
  readonly blockJPerK: number;
  readonly roomWPerK: number;
  /** Conductance of the exchanger or keel cooler at rated flows. */
  readonly ratedWPerK: number;
  readonly coolantWPerK: number;
  /** Part of the brake power that gearbox and oil coolers put into the raw water. */
  readonly oilShare: number;
};

export type RawWaterTraits = {
  /** A new pump's flow at rated speed. */
  readonly ratedLitresPerS: number;
  /** Belt slip at rated speed; 0 is a gear-driven pump. */
  readonly beltSlip: number;
  readonly suctionKpa: number;
  readonly strainerKpa: number;
  readonly vacuumLimitKpa: number;
  /** Water that the suction hose yields while it collapses. */
  readonly hoseLitres: number;
  /** Air drawn past lid, clips and shaft seal at the vacuum limit, of the rated flow. */
  readonly airLeak: number;
  readonly downstreamLitres: number;
  /** Part of the water behind the pump that stays there through a stop. */
  readonly keptPart: number;
  readonly drainS: number;
  readonly dischargeKpa: number;
  readonly headKpa: number;
  /** Time that the pump needs to draw its water after hours of stop. */
  readonly primeS: number;
  /** Sensitivity to air from waves; a sea chest shared by both engines gives both the same gulps. */
  readonly gulps: number;
};

export type ElbowTraits = {
  readonly ratedGasKgPerS: number;
  readonly ratedWaterKgPerS: number;
  readonly wetAreaM2: number;
  readonly dryAreaM2: number;
  readonly outsideAreaM2: number;
  readonly skinJPerK: number;
  readonly dryJPerK: number;
  readonly conductionWPerK: number;
  /** From the dry flange to a water-cooled manifold; little where a turbine housing is between. */
  readonly blockWPerK: number;
  /** Part of the gas-side surface that heats the outer skin while water runs, and when the jacket is empty. */
  readonly skinGasWet: number;
  readonly skinGasDry: number;
  readonly filmWPerM2K: number;
  readonly jacketKg: number;
  readonly jacketKept: number;
  /** Water per gas, by mass, at which 63 % of the gas is reached by the spray. */
  readonly sprayRatio: number;
  readonly lagging: number;
  readonly hoseJPerM2K: number;
};

export type ProbeTraits = {
  readonly ringS: number;
  readonly ringContact: number;
  readonly wellS: number;
  /** Part of what the well shows that comes along its stem from the metal. */
  readonly wellStem: number;
  readonly gasS: number;
  readonly gasStem: number;
  readonly sootPerSeason: number;
};

/** How much a season changes what stays healthy. */
export type WearTraits = {
  readonly impeller: number;
  readonly exchanger: number;
  readonly hull: number;
  readonly strainer: number;
  /** Hotter gas at rated flow from carbon in the elbow, injectors and hull, K. */
  readonly gasK: number;
};

export type EngineTraits = {
  readonly mover: MoverTraits;
  readonly cooling: CoolingTraits;
  readonly raw: RawWaterTraits;
  readonly elbow: ElbowTraits;
  readonly probes: ProbeTraits;
  readonly wear: WearTraits;
};

export type BoatTraits = {
  readonly kind: BoatKind;
  readonly ratedRpm: number;
  readonly engines: Readonly<Record<TwinId, EngineTraits>>;
  readonly commonChest: boolean;
  readonly wayS: number;
  /** How much more power the propeller asks with no way on, of its steady power at that speed. */
  readonly slipLoad: number;
  readonly waveLoad: number;
  readonly wavePeriodS: number;
  readonly roomJPerK: number;
  readonly roomWPerK: number;
  readonly fanWPerK: number;
  readonly harbourK: number;
  /** Typical step of the sea's temperature where a river or another current begins. */
  readonly frontK: number;
  readonly seaWanderK: number;
  readonly seaWanderS: number;
  readonly seaProbeS: number;
  readonly seaProbeLeak: number;
  readonly seaProbeStandingLeak: number;
};

/** The day she goes out: how warm it is, the chance of the day, and which outing of the season it is (0 is the first). */
export type Outing = {
  readonly seaC: number;
  readonly outsideC: number;
  readonly seed: number;
  readonly outing?: number;
};
