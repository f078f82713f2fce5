import type { HistoryColumns } from '../../../host/store/intake/history.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { startAt } from '../../host/store/made-readings.js';

/** Probes of the season: what they measure with, about how hot it is there, how far it swings, and its noise (C). */
export const seasonProbes = [
  { probe: 'port-elbow', kind: 'ntc', aboutC: 55, swingC: 12, noiseC: 0.022 },
  { probe: 'starboard-elbow', kind: 'ntc', aboutC: 56, swingC: 12, noiseC: 0.022 },
  { probe: 'sea-water', kind: 'ntc', aboutC: 18, swingC: 1, noiseC: 0.012 },
  { probe: 'engine-room', kind: 'ntc', aboutC: 40, swingC: 5, noiseC: 0.015 },
  { probe: 'port-exhaust', kind: 'k', aboutC: 330, swingC: 90, noiseC: 0.04 },
  { probe: 'starboard-exhaust', kind: 'k', aboutC: 335, swingC: 90, noiseC: 0.04 },
  { probe: 'port-turbo', kind: 'k', aboutC: 430, swingC: 110, noiseC: 0.05 },
  { probe: 'starboard-turbo', kind: 'k', aboutC: 435, swingC: 110, noiseC: 0.05 },
] as const;

/** Time of a reading strays by this from its second, as the emulated bench shows. */
const timeNoiseMs = 6;
const round = (value: number, steps: number): number => Math.round(value * steps) / steps;

/**
 * Readings of one probe, once a second, of an invented boat under way: load changes every few minutes, first-order
 * lag, noise as read on the emulated bench, raw quantity to 0.01 ohm or 0.5 microvolt, cold junction to 1/16 C.
 */
export const inventedHours = (index: number, fromHour: number, hours: number): HistoryColumns => {
  const { probe, kind, aboutC, swingC, noiseC } = seasonProbes[index] as (typeof seasonProbes)[number];
  const random = makeRandom(index * 100_003 + fromHour + 1);
  const length = hours * 3600;
  const at = new Float64Array(length);
  const temperatureC = new Float64Array(length);
  const raw = new Float64Array(length);
  const coldJunctionC = new Float64Array(length);
  const uncertaintyC = new Float64Array(length);
  let goalC = aboutC;
  let trueC = aboutC;
  let coldC = 38;
  for (let i = 0; i < length; i++) {
    if (random.chance(1 / 400)) goalC = aboutC + swingC * (random.next() - 0.5);
    trueC += (goalC - trueC) / 60;
    coldC += (40 + 4 * Math.sin(i / 3000) - coldC) / 600;
    at[i] = startAt + (fromHour * 3600 + i) * 1000 + Math.round(timeNoiseMs * random.normal());
    const readC = trueC + noiseC * random.normal();
    if (kind === 'ntc') {
      const ohms = round(10_000 * Math.exp(3435 * (1 / (readC + 273.15) - 1 / 298.15)), 100);
      raw[i] = ohms;
      temperatureC[i] = 3435 / (Math.log(ohms / 10_000) + 3435 / 298.15) - 273.15;
    } else {
      const junctionC = round(coldC, 16);
      raw[i] = round(41 * (readC - junctionC), 2);
      coldJunctionC[i] = junctionC;
      temperatureC[i] = (raw[i] as number) / 41 + junctionC;
    }
    uncertaintyC[i] = 0.2 + trueC / 1000;
  }
  return {
    node: 'engine-room',
    probe,
    at,
    temperatureC,
    raw,
    rawUnit: kind === 'ntc' ? 'ohm' : 'microvolt',
    ...(kind === 'k' && { coldJunctionC }),
    uncertaintyC,
    certificate: `${probe}@1`,
  };
};
