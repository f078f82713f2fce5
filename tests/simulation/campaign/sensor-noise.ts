import type { Random } from '../../../node/bench/plant/random.js';
import type { Missing, Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

/** How badly one channel measures. */
export type ChannelFlaws = {
  readonly offsetK: number;
  /** Gain error about 25 C. */
  readonly gain: number;
  readonly noiseLsb: number;
  readonly spikesPerHour: number;
  readonly dropoutsPerHour: number;
  /** Bursts of a loose connection, an hour; 0 on most boats. */
  readonly burstsPerHour: number;
  /** Slow wandering of the whole chain: how far, steps of the converter, and how slowly, s. */
  readonly driftLsb: number;
  readonly driftTauS: number;
};

export function drawFlaws(random: Random, loose: boolean, drifts: boolean): ChannelFlaws {
  return {
    offsetK: 0.25 * random.normal(),
    gain: 1 + 0.003 * random.normal(),
    noiseLsb: random.between(0.4, 1.4),
    spikesPerHour: 0.5 * 120 ** random.next(),
    dropoutsPerHour: random.between(0, 0.3),
    burstsPerHour: loose ? random.between(1, 6) : 0,
    driftLsb: drifts ? random.between(0.5, 4) : 0,
    driftTauS: drifts ? random.between(900, 20_000) : 3600,
  };
}

/** What the channel's converter resolves at this temperature, K. */
export type Resolution = (temperatureC: number) => number;

/** A 10 kohm, beta 3950 thermistor over 2.2 kohm on the board's own 10-bit converter. */
export const thermistorResolution: Resolution = (temperatureC) => {
  const kelvin = temperatureC + 273.15;
  const ohms = 10_000 * Math.exp(3950 * (1 / kelvin - 1 / 298.15));
  return (ohms + 2200) ** 2 / (1024 * ohms * 2200 * (3950 / kelvin ** 2));
};
/** MCP9601, whole chain. */
export const thermocoupleResolution: Resolution = () => 0.25;

/** One channel's electronics: turns the true temperature of the element into readings, with their faults. */
export class NoisyChannel {
  private missingS = 0;
  private burstS = 0;
  private drift = 0;
  /** Set by a voyage to break the probe. */
  broken: Missing['reason'] | undefined;

  private readonly probe: string;
  private readonly flaws: ChannelFlaws;
  private readonly resolution: Resolution;
  private readonly random: Random;

  constructor(probe: string, flaws: ChannelFlaws, resolution: Resolution, random: Random) {
    this.probe = probe;
    this.flaws = flaws;
    this.resolution = resolution;
    this.random = random;
  }

  /** Whether contact is sure at this moment. */
  get isSure(): boolean {
    return this.missingS <= 0 && this.burstS <= 0;
  }

  /** Begins a burst or a dropout now, of a length such as come by themselves. */
  loosen(how: 'burst' | 'dropout'): void {
    if (how === 'burst') this.burstS = this.random.between(0.5, 8);
    else this.missingS = this.random.between(0.5, 15);
  }

  read(atMs: number, trueC: number, dtS: number): Reading {
    const { random, flaws } = this;
    const readAtMs = asMonotonicMs(atMs);
    if (this.missingS > 0) this.missingS -= dtS;
    else if (random.chance((flaws.dropoutsPerHour * dtS) / 3600)) this.loosen('dropout');
    if (this.broken || this.missingS > 0)
      return { probe: this.probe, readAtMs, result: { kind: 'missing', reason: this.broken ?? 'no-answer' } };
    const lsbK = this.resolution(trueC);
    let temperatureC = trueC + flaws.offsetK + (flaws.gain - 1) * (trueC - 25);
    if (flaws.driftLsb > 0) {
      const share = dtS / flaws.driftTauS;
      this.drift += -this.drift * share + Math.sqrt(2 * share) * random.normal();
      temperatureC += flaws.driftLsb * lsbK * this.drift;
    }
    temperatureC += 0.5 * flaws.noiseLsb * lsbK * random.normal();
    if (this.burstS > 0) {
      this.burstS -= dtS;
      temperatureC += random.between(-60, 60);
    } else if (random.chance((flaws.burstsPerHour * dtS) / 3600)) this.loosen('burst');
    if (random.chance((flaws.spikesPerHour * dtS) / 3600))
      temperatureC += random.between(5, 100) * (random.chance(0.5) ? 1 : -1);
    temperatureC = Math.round(temperatureC / lsbK) * lsbK;
    return {
      probe: this.probe,
      readAtMs,
      result: { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.5 },
    };
  }
}
