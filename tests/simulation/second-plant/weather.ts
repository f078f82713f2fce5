import type { Random } from '../../../node/bench/plant/random.js';

/** How hard wind, waves, weed and water fronts are on this day; each 0 to 1. */
export type Weather = { readonly wind: number; readonly weed: number; readonly fronts: number };

export const drawWeather = (random: Random): Weather => ({
  wind: random.chance(0.5) ? random.between(0.1, 1) : 0,
  weed: random.chance(0.35) ? random.between(0.1, 1) : 0,
  fronts: random.chance(0.5) ? random.between(0.2, 1) : 0,
});

/**
 * The sea around the boat: what it does to both propellers (momentary torque), both intakes (the part that is open, the part
 * of what they draw that is air) and its own temperature. Deterministic.
 */
export type Sea = {
  readonly load: readonly [number, number];
  readonly open: readonly [number, number];
  readonly air: readonly [number, number];
  readonly driftK: number;
  readonly step: (dtS: number, roughness: number) => void;
};

/** Gusts, a swell, weed that comes and goes, bubbles and fronts: the sea of the second plant. */
export class WindAndWeed implements Sea {
  load: [number, number] = [1, 1];
  open: [number, number] = [1, 1];
  air: [number, number] = [0, 0];
  driftK = 0;
  private gust = 0;
  private phase = 0;
  private readonly weedS: [number, number] = [0, 0];
  private readonly weedOpen: [number, number] = [1, 1];
  private readonly airS: [number, number] = [0, 0];
  private frontK = 0;
  private frontTauS = 60;
  private readonly weather: Weather;
  private readonly random: Random;

  constructor(weather: Weather, random: Random) {
    this.weather = weather;
    this.random = random;
  }

  step(dtS: number, roughness: number): void {
    const { random, weather } = this;
    // Gusts and following seas: a slow random walk that is drawn back with two minutes.
    this.gust +=
      (-this.gust * dtS) / 120 + 0.09 * weather.wind * Math.sqrt((2 * dtS) / 120) * random.normal();
    this.phase += dtS * (0.55 + 0.35 * roughness);
    if (random.chance((weather.fronts * dtS) / 1500)) {
      this.frontK = random.between(-2.5, 2.5);
      this.frontTauS = random.between(20, 200);
    }
    this.driftK += (this.frontK - this.driftK) * (dtS / this.frontTauS);
    for (const i of [0, 1] as const) {
      this.load[i] = Math.max(0.6, 1 + this.gust + 0.2 * roughness * Math.sin(this.phase + 0.9 * i));
      this.weedAt(i, dtS);
      if (this.airS[i] > 0) this.airS[i] -= dtS;
      else if (random.chance(0.03 * roughness * dtS)) this.airS[i] = random.between(0.3, 3);
      this.air[i] = this.airS[i] > 0 ? 0.5 * roughness : 0;
    }
  }

  /** Weed comes, covers a part of one intake for a minute or three, and washes off. It never starves a healthy engine. */
  private weedAt(i: 0 | 1, dtS: number): void {
    const { random, weather } = this;
    if (this.weedS[i] > 0) {
      this.weedS[i] -= dtS;
      if (this.weedS[i] <= 0) this.weedOpen[i] = 1;
    } else if (random.chance((weather.weed * dtS) / 900)) {
      this.weedS[i] = random.between(20, 180);
      this.weedOpen[i] = random.between(0.35, 0.9);
    }
    this.open[i] += (this.weedOpen[i] - this.open[i]) * (dtS / 4);
  }
}
