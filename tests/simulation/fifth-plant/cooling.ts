import type { Diesel } from './diesel.js';
import { lump, seaJPerKgK, toward } from './lump.js';
import type { EngineTraits } from './traits.js';

/** Block, coolant, thermostat and the exchanger to the raw water. */
export class Cooling {
  coolantC: number;
  /** Raw water where it leaves the exchanger for the elbow. */
  outC: number;
  private openPart = 0.04;
  private readonly sizedWPerK: number;
  private readonly traits: EngineTraits;

  constructor(traits: EngineTraits, roomC: number, seaC: number) {
    this.traits = traits;
    this.coolantC = roomC;
    this.outC = seaC;
    // Sized so that full power in a sea of 30 C leaves the margin.
    const heatW =
      traits.wallPart * traits.fuelW +
      (traits.ratedW * traits.frictionPa) / traits.bmepPa +
      60 * traits.manifoldJacketWPerK;
    const rawWPerK = traits.rawKgPerS * seaJPerKgK;
    const part = Math.min(0.85, (traits.exchangerMargin * heatW) / rawWPerK / (traits.thermostatC + 10 - 30));
    this.sizedWPerK = (rawWPerK * Math.log((1 - part * 0.4) / (1 - part))) / 0.6;
  }

  /** `extraW`: heat from a jacketed manifold; gives the heat to the room, W. */
  step(
    dtS: number,
    engine: Diesel,
    raw: { kgPerS: number; lineC: number },
    roomC: number,
    exchanger: number,
    extraW: number,
  ): number {
    const { traits } = this;
    const open = Math.max(0.04, Math.min(1, (this.coolantC - traits.thermostatC) / traits.thermostatK));
    this.openPart = toward(this.openPart, open, dtS, traits.waxS);
    const rawWPerK = raw.kgPerS * seaJPerKgK;
    const freshWPerK = traits.rawKgPerS * seaJPerKgK * 2.5 * this.openPart * engine.speed;
    const enteringC = raw.lineC + (engine.chargeW + engine.oilW) / Math.max(rawWPerK, 1);
    let takenW = 0;
    if (rawWPerK > 1 && freshWPerK > 1) {
      const lower = Math.min(rawWPerK, freshWPerK);
      const ratio = Math.min(0.999, lower / Math.max(rawWPerK, freshWPerK));
      const units =
        (this.sizedWPerK * traits.scale * exchanger * (raw.kgPerS / traits.rawKgPerS) ** 0.5) / lower;
      const fade = Math.exp(-units * (1 - ratio));
      takenW = ((1 - fade) / (1 - ratio * fade)) * lower * (this.coolantC - enteringC);
    }
    const heldJPerK = traits.intake.coolerL * seaJPerKgK;
    if (rawWPerK > 1) this.outC = toward(this.outC, enteringC + takenW / rawWPerK, dtS, heldJPerK / rawWPerK);
    else this.outC = toward(this.outC, this.coolantC, dtS, 250);
    // Above the relief valve's boiling point steam carries the rest away.
    const boilingW = Math.max(0, this.coolantC - 106) * 0.1 * traits.ratedW;
    const outerW = traits.blockWPerK * (this.coolantC - roomC);
    this.coolantC = lump(
      this.coolantC,
      traits.blockJPerK,
      dtS,
      [[traits.blockWPerK, roomC]],
      engine.coolantW + extraW - takenW - boilingW,
    );
    return outerW;
  }
}
