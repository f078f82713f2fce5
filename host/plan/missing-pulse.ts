/** Values of the missing-pulse circuit in hardware-notes/missing-pulse.md, by the names in its drawing. */
export type MissingPulseParts = {
  /** C1, carries pulses and blocks a pin that does not change, high or low. */
  readonly pumpFarads: number;
  /** R5, empties C1 when the pin stays high; without it C1 would keep feeding C2 and delay the sound by half. */
  readonly drainOhms: number;
  /** C2, holds the buzzer off between pulses. */
  readonly holdFarads: number;
  /** R2, from C2 to the base of Q1. */
  readonly baseOhms: number;
  /** R3, from the base of Q1 to ground; sets the voltage at which Q1 lets go. */
  readonly bleedOhms: number;
  /** R4, from the supply to the gate of Q2; Q1 holds it down while pulses come. */
  readonly gateOhms: number;
};

export type MissingPulseConditions = {
  /** Output pin, high, lightly loaded. */
  readonly pinHighVolts: number;
  /** Forward drop of D1 and D2, each. */
  readonly diodeVolts: number;
  /** Base-emitter voltage at which Q1 conducts; falls about 2 mV per degree. */
  readonly baseEmitterVolts: number;
  readonly currentGain: number;
  /** Leakage of C2. */
  readonly leakageAmps: number;
  readonly supplyVolts: number;
  /** The gate voltage at which Q2 sounds the buzzer. */
  readonly gateOnVolts: number;
  /** Changes of the pin a second, up and down counted: the passes of the node. */
  readonly edgesPerS: number;
};

export const missingPulseParts: MissingPulseParts = {
  pumpFarads: 10e-6,
  drainOhms: 100e3,
  holdFarads: 22e-6,
  baseOhms: 100e3,
  bleedOhms: 68e3,
  gateOhms: 47e3,
};

/** Room temperature and 5 V logic. Junction voltages and gains are typical small-signal values, from memory. */
export const typicalConditions: MissingPulseConditions = {
  pinHighVolts: 5,
  diodeVolts: 0.6,
  baseEmitterVolts: 0.6,
  currentGain: 250,
  leakageAmps: 0.2e-6,
  supplyVolts: 12.6,
  gateOnVolts: 2.5,
  edgesPerS: 10,
};

/** Below this the pins count as 3.3 V ones: no board with 5 V pins is fed so little. */
const leastFiveVoltSupply = 4.5;

/** Whether the pins are too low for R3 as it is, and for a MOSFET that is not a logic-level type. */
export const hasLowPins = (supplyVolts: number): boolean => supplyVolts < leastFiveVoltSupply;

/** The circuit for a board fed with this many volts, and what its pins give: low pins need a larger R3. */
export const missingPulseFor = (supplyVolts: number) =>
  hasLowPins(supplyVolts)
    ? {
        parts: { ...missingPulseParts, bleedOhms: 270e3 },
        conditions: { ...typicalConditions, pinHighVolts: supplyVolts },
      }
    : { parts: missingPulseParts, conditions: typicalConditions };

/** The voltage on C2 that Q1 no longer counts as pulses. */
const letGoVolts = (parts: MissingPulseParts, c: MissingPulseConditions): number => {
  const collectorAmps = (c.supplyVolts - c.gateOnVolts) / parts.gateOhms;
  return (
    c.baseEmitterVolts +
    parts.baseOhms * (c.baseEmitterVolts / parts.bleedOhms + collectorAmps / c.currentGain)
  );
};

/** The voltage C2 falls towards while Q1 still conducts, and the time constant of that fall. */
const fall = (parts: MissingPulseParts, c: MissingPulseConditions) => ({
  towardsVolts: c.baseEmitterVolts - parts.baseOhms * c.leakageAmps,
  tauS: parts.baseOhms * parts.holdFarads,
});

/**
 * C2 just after a rising edge, pulses having come for long. Each rising edge shares charge between C1 and C2:
 * V = (V' + k E) / (1 + k), with k = C1/C2 and E = pin - two diode drops; between edges V falls exponentially.
 */
const holdVolts = (parts: MissingPulseParts, c: MissingPulseConditions): number => {
  const { towardsVolts, tauS } = fall(parts, c);
  const k = parts.pumpFarads / parts.holdFarads;
  const kept = Math.exp(-2 / c.edgesPerS / tauS);
  const over = (k * (c.pinHighVolts - 2 * c.diodeVolts - towardsVolts)) / (1 + k - kept);
  return towardsVolts + over;
};

/** Seconds from the last rising edge to the sound; 0 when such slow or weak pulses never silence it. */
export const secondsToSound = (parts: MissingPulseParts, c: MissingPulseConditions): number => {
  const { towardsVolts, tauS } = fall(parts, c);
  const [from, to] = [holdVolts(parts, c) - towardsVolts, letGoVolts(parts, c) - towardsVolts];
  return from > to ? tauS * Math.log(from / to) : 0;
};

/** Whether steady pulses at this rate keep it silent: C2 must not reach the let-go voltage between rising edges. */
export const staysSilent = (parts: MissingPulseParts, c: MissingPulseConditions): boolean =>
  secondsToSound(parts, c) > 2 / c.edgesPerS;

/**
 * Electrolytics: 20 % when new, and down to 35 % below their print when cold and aged (datasheets of 105 C types allow
 * 20 to 30 % of loss over their life and about 10 % at -10 C; from memory).
 */
const capacitorShares = [0.65, 1.2] as const;

/**
 * What ordinary parts do between -10 and 70 C: capacitors as above, resistors 5 %. The 5 V of the board and the battery
 * vary each for itself, because an isolated converter separates them.
 */
function* corners(nominal: MissingPulseParts, typical: MissingPulseConditions) {
  const both = [0, 1] as const;
  for (const pumpShare of capacitorShares)
    for (const holdShare of capacitorShares)
      for (const base of both)
        for (const heat of both)
          for (const pinHigh of both)
            for (const battery of both)
              for (const spread of both)
                yield {
                  parts: {
                    ...nominal,
                    pumpFarads: nominal.pumpFarads * pumpShare,
                    holdFarads: nominal.holdFarads * holdShare,
                    baseOhms: nominal.baseOhms * (base ? 1.05 : 0.95),
                    bleedOhms: nominal.bleedOhms * (base ? 0.95 : 1.05),
                  },
                  conditions: {
                    ...typical,
                    pinHighVolts: typical.pinHighVolts * (pinHigh ? 1.05 : 0.95) - 0.1,
                    supplyVolts: battery ? 14.7 : 10.5,
                    diodeVolts: heat ? 0.48 : 0.68,
                    baseEmitterVolts: heat ? 0.48 : 0.68,
                    leakageAmps: heat ? 3e-6 : 0,
                    currentGain: spread ? 600 : 110,
                    gateOnVolts: spread ? 1 : 3.5,
                  },
                };
}

export type MissingPulseTiming = {
  readonly nominalS: number;
  readonly shortestS: number;
  readonly longestS: number;
  /** The slowest steady beat, in edges a second, that no set of ordinary parts mistakes for silence. */
  readonly slowestEdgesPerS: number;
};

/**
 * How long after the last edge the buzzer sounds: typical, and over all corners of ordinary and aged parts.
 * Between -10 and 70 C, battery 10.5 to 14.7 V.
 */
export const missingPulseTiming = (
  parts: MissingPulseParts = missingPulseParts,
  typical: MissingPulseConditions = typicalConditions,
): MissingPulseTiming => {
  const all = [...corners(parts, typical)];
  const times = all.map((corner) => secondsToSound(corner.parts, corner.conditions));
  const silentAt = (edgesPerS: number) =>
    all.every((corner) => staysSilent(corner.parts, { ...corner.conditions, edgesPerS }));
  let [tooSlow, fastEnough] = [0.1, 50];
  while (fastEnough - tooSlow > 0.01) {
    const middle = (tooSlow + fastEnough) / 2;
    if (silentAt(middle)) fastEnough = middle;
    else tooSlow = middle;
  }
  return {
    nominalS: secondsToSound(parts, typical),
    shortestS: Math.min(...times),
    longestS: Math.max(...times),
    slowestEdgesPerS: fastEnough,
  };
};
