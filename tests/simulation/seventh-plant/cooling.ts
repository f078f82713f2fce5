import { counterflow, lagged, seaWaterJPerKgK, seaWaterKgPerLitre } from './heat.js';
import type { Mover } from './mover.js';
import { Thermostat } from './thermostat.js';
import type { CoolingTraits } from './traits.js';

/** A pressure cap lifts near this, and steam then carries the heat away, C. */
const capLiftsC = 115;
/** Conductance of the exchanger when neither side flows, of the rated. */
const stillPart = 0.03;
/** Part of the raw water that bleeds through a raw-water-cooled block with its thermostat shut. */
const bleed = 0.12;
/** How near the water leaves a raw-water-cooled block to the block's own temperature. */
const blockReach = 0.85;

/** The block, its thermostat, and what carries its heat to the raw water or straight to the sea. */
export class Cooling {
  blockC: number;
  /** Raw water on its way to the elbow. */
  rawC: number;
  private readonly thermostat: Thermostat;
  private readonly traits: CoolingTraits;
  private readonly rawJPerK: number;

  /** `rawLitres`: water between pump and elbow. */
  constructor(traits: CoolingTraits, rawLitres: number, startC: number) {
    this.traits = traits;
    this.blockC = startC;
    this.rawC = startC;
    this.thermostat = new Thermostat(traits.thermostat, startC);
    this.rawJPerK = rawLitres * seaWaterKgPerLitre * seaWaterJPerKgK;
  }

  /** `scale`: part of the exchanger's conductance that deposits leave. */
  step(
    dtS: number,
    mover: Mover,
    ratedRawKgPerS: number,
    rawKgPerS: number,
    seaC: number,
    roomC: number,
    scale: number,
  ): void {
    const { traits } = this;
    const { speedPart } = mover;
    this.thermostat.step(dtS, this.blockC);
    const rawWPerK = rawKgPerS * seaWaterJPerKgK;
    const toSea = this.conductance(speedPart, rawWPerK, rawKgPerS / ratedRawKgPerS, scale);
    const toStanding = traits.kind === 'keel' ? 0 : stillPart * traits.ratedWPerK;
    const { roomWPerK } = traits;
    // Implicit in the block's own temperature, so that any step is stable.
    const rate = dtS / traits.blockJPerK;
    const drive = toSea * seaC + toStanding * this.rawC + roomWPerK * roomC;
    this.blockC =
      (this.blockC + rate * (mover.coolantW + drive)) / (1 + rate * (toSea + toStanding + roomWPerK));
    if (this.blockC > capLiftsC) this.blockC = capLiftsC;
    let heatW = traits.oilShare * mover.brakeW + mover.aftercoolerW;
    if (traits.kind !== 'keel') heatW += toSea * (this.blockC - seaC);
    const rawRate = dtS / this.rawJPerK;
    this.rawC =
      (this.rawC + rawRate * (rawWPerK * seaC + heatW + toStanding * this.blockC)) /
      (1 + rawRate * (rawWPerK + toStanding));
    // Without flow the oil cooler heats its own water only as far as the oil.
    if (this.rawC > capLiftsC - 5) this.rawC = lagged(this.rawC, capLiftsC - 5, dtS, 1);
  }

  /** From block to sea water, W/K of the difference of the two inlets. */
  private conductance(speedPart: number, rawWPerK: number, rawPart: number, scale: number): number {
    const { kind, ratedWPerK, coolantWPerK } = this.traits;
    const { open } = this.thermostat;
    if (speedPart < 0.02) return 0;
    if (kind === 'keel') return ratedWPerK * scale * open * Math.min(1, speedPart * 1.5);
    if (rawWPerK < 1) return 0;
    if (kind === 'direct') return rawWPerK * blockReach * (bleed + (1 - bleed) * open);
    const coolantSide = coolantWPerK * speedPart * open;
    const least = Math.min(coolantSide, rawWPerK);
    const ratio = least / Math.max(coolantSide, rawWPerK);
    // Both films thin with flow, each to about the power 0.6 of it (Dittus-Boelter 0.8, tempered by the wall).
    const conductance = ratedWPerK * scale * Math.sqrt(Math.min(1.3, rawPart)) * (open * speedPart) ** 0.3;
    return least * counterflow(conductance / least, ratio);
  }
}
