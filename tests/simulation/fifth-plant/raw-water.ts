import type { Ailments } from '../../../node/bench/plant/ailments.js';
import { toward } from './lump.js';
import type { EngineTraits } from './traits.js';

/** A vane pump cannot hold more vacuum than this, kPa. Common practice, no source. */
const vacuumKpa = 65;
/** Water that still passes among froth, part of the flow. */
const froth = 0.08;

/** Seacock, line, strainer and impeller pump of one engine. Litres are taken as kilograms. */
export class RawWater {
  kgPerS = 0;
  pressureKpa = 0;
  flowPart = 0;
  /** Water at the strainer. */
  lineC: number;
  private stillS = 1e5;
  private readonly air: { toGoL: number; litres: number }[] = [];
  private readonly traits: EngineTraits;

  constructor(traits: EngineTraits, seaC: number) {
    this.traits = traits;
    this.lineC = seaC;
  }

  /** The hull lifts or a bubble passes: air enters at the seacock. */
  gulp(litres: number): void {
    if (this.air.length < 20) this.air.push({ toGoL: this.traits.intake.lineL, litres });
  }

  /** `speed`: of the pump, part of the rated. */
  step(dtS: number, speed: number, seaC: number, roomC: number, ailments: Ailments): void {
    const { intake } = this.traits;
    if (speed < 0.03) {
      this.stillS += dtS;
      this.kgPerS = this.pressureKpa = this.flowPart = 0;
      this.lineC = toward(this.lineC, roomC, dtS, 2400);
      return;
    }
    if (this.stillS > 0) {
      const litres = intake.drainL * (1 - Math.exp(-this.stillS / 900));
      if (litres > 0.01) this.air.unshift({ toGoL: 0, litres });
      this.stillS = 0;
    }
    const healthyKgPerS = this.drawn(speed, 1, 1);
    const drawnKgPerS = this.drawn(speed, ailments.impeller, ailments.strainer) * ailments.intake;
    this.kgPerS = drawnKgPerS * this.airPasses(dtS, drawnKgPerS);
    this.flowPart = healthyKgPerS > 0 ? this.kgPerS / healthyKgPerS : 0;
    const part = this.kgPerS / this.traits.rawKgPerS;
    this.pressureKpa = intake.outKpa * part ** 2 + intake.liftKpa * Math.min(1, 4 * part);
    const turnoverS = intake.lineL / Math.max(this.kgPerS, 1e-4);
    this.lineC = toward(this.lineC, seaC, dtS, Math.min(turnoverS, 2400));
  }

  /**
   * Water that the vanes draw, kg/s. They give their volume less a slip in proportion to the pressure across them, and
   * every pressure on the way but the heads goes with the square of the flow: one quadratic equation.
   */
  private drawn(speed: number, vanes: number, strainer: number): number {
    const { rawKgPerS, intake } = this.traits;
    const suctionKpa = intake.lineKpa + intake.strainerKpa / Math.max(strainer, 0.005) ** 2;
    const squareKpa = suctionKpa + intake.outKpa;
    const cleanKpa = intake.lineKpa + intake.strainerKpa + intake.outKpa;
    const headKpa = intake.headKpa + intake.liftKpa;
    const slip = intake.slip / (cleanKpa + headKpa);
    const volume = Math.max(0, (1 + intake.slip) * speed * vanes - slip * headKpa);
    const part = (Math.sqrt(1 + 4 * slip * squareKpa * volume) - 1) / (2 * slip * squareKpa);
    return rawKgPerS * Math.min(part, Math.sqrt((vacuumKpa - intake.headKpa) / suctionKpa));
  }

  /** Moves the air in the line along; gives the part of the flow that is water. */
  private airPasses(dtS: number, kgPerS: number): number {
    const first = this.air[0];
    if (!first) return 1;
    const movedL = kgPerS * dtS;
    const isWater = first.toGoL > 0;
    for (const slug of this.air) slug.toGoL -= movedL;
    if (isWater) return 1;
    first.litres -= movedL;
    if (first.litres <= 0) this.air.shift();
    return froth;
  }
}
