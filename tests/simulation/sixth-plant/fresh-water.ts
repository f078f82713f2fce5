import { clamp, relax } from './relax.js';
import { waterJPerKgK } from './saturation.js';
import type { EngineTraits } from './traits.js';

/** Fresh water with a third of glycol, J/(kg K), from memory. */
const coolantJPerKgK = 3600;

/** Effectiveness of a counterflow exchanger by its transfer units (textbook law; at equal flows its limit). */
export function effectiveness(ntu: number, ratio: number): number {
  if (Math.abs(1 - ratio) < 1e-4) return ntu / (1 + ntu);
  const e = Math.exp(-ntu * (1 - ratio));
  return (1 - e) / (1 - ratio * e);
}

/** Engine metal and coolant as one mass, thermostat, and the exchanger with its scale. */
export class FreshWater {
  coolantC: number;
  /** Raw water as it leaves the engine, C, and the heat that it took, W. */
  outC: number;
  toRawW = 0;
  toRoomW = 0;
  private lift = 0;
  private readonly heatJPerK: number;
  private readonly casingWPerK: number;
  private readonly coolantWPerK: number;
  private readonly ratedKgPerS: number;
  private readonly filmWPerK: number;
  private readonly traits: EngineTraits;

  /** `heatW` and `rawKgPerS` at rated power; the exchanger is chosen for water of 32 C at it. */
  constructor(traits: EngineTraits, heatW: number, rawKgPerS: number, roomC: number, seaC: number) {
    this.traits = traits;
    this.coolantC = roomC;
    this.outC = seaC;
    this.ratedKgPerS = rawKgPerS;
    // Weights of marine diesels, about 28 kg times the 0.58th power of kW; two thirds of it follow the coolant.
    const massKg = 28 * traits.powerKw ** 0.58;
    this.heatJPerK = 0.65 * massKg * 480 + (2 + 0.15 * traits.powerKw) * coolantJPerKgK;
    this.casingWPerK = 0.7 * massKg ** 0.67;
    this.coolantWPerK = 2 * rawKgPerS * waterJPerKgK;
    const wanted = Math.min(0.93, heatW / (rawKgPerS * waterJPerKgK * (traits.hottestC - 32)));
    let ntu = 0.05;
    while (effectiveness(ntu, 0.5) < wanted && ntu < 6) ntu += 0.01;
    // Two films of equal size at rated flows.
    this.filmWPerK = 2 * ntu * rawKgPerS * waterJPerKgK;
  }

  step(
    dtS: number,
    {
      heatW,
      speed,
      rawKgPerS,
      rawInC,
      roomC,
      exchanger,
    }: { heatW: number; speed: number; rawKgPerS: number; rawInC: number; roomC: number; exchanger: number },
  ): void {
    const { thermostatC, thermostatSpanK, waxS, scale } = this.traits;
    this.lift = relax(this.lift, clamp((this.coolantC - thermostatC) / thermostatSpanK, 0.015, 1), dtS, waxS);
    const coolantWPerK = this.coolantWPerK * this.lift * Math.min(1.1, speed);
    const rawWPerK = rawKgPerS * waterJPerKgK;
    this.toRawW = 0;
    if (rawWPerK > 1 && coolantWPerK > 1) {
      const films = (this.ratedKgPerS / rawKgPerS) ** 0.8 + (this.coolantWPerK / coolantWPerK) ** 0.8 + scale;
      const [low, high] = [Math.min(rawWPerK, coolantWPerK), Math.max(rawWPerK, coolantWPerK)];
      const ua = (exchanger * this.filmWPerK) / films;
      this.toRawW = effectiveness(ua / low, low / high) * low * (this.coolantC - rawInC);
    }
    this.toRoomW = this.casingWPerK * (this.coolantC - roomC);
    // The cap lifts above 110 C and what boils takes the rest with it.
    const boilsW = Math.max(0, this.coolantC - 110) * 0.2 * this.heatJPerK;
    this.coolantC += ((heatW - this.toRawW - this.toRoomW - boilsW) * dtS) / this.heatJPerK;
    // Some litres in the exchanger: a change of the sea comes out when they have passed.
    const held = (0.5 + 0.025 * this.traits.powerKw) / Math.max(1e-6, rawKgPerS);
    const leaves = rawWPerK > 1 ? rawInC + this.toRawW / rawWPerK : this.coolantC;
    this.outC = relax(this.outC, leaves, dtS, rawWPerK > 1 ? Math.max(0.3, held) : 1800);
  }
}
