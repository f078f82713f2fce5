import type { Plant } from '../plant/plant.js';
import type { Random } from '../plant/random.js';
import { type TwinId as Engine, twins as engines } from '../plant/twins.js';

/** What the skipper and the sea do at one moment of a voyage. */
export type Leg = {
  readonly untilS: number;
  readonly throttle: Readonly<Record<Engine, number>>;
  readonly roughness: number;
};

export type Load = 'idle' | 'cruise' | 'wide-open';
/** Throttle positions of each load: from and to. */
export const throttleOf: Readonly<Record<Load, readonly [number, number]>> = {
  idle: [0.05, 0.1],
  cruise: [0.6, 0.85],
  'wide-open': [1, 1],
};

/**
 * An ordinary hour: warm up at idle, out of the harbour, cruise with changes of mind, slams, a swell, a burst at wide
 * open, sometimes a stop and a hot restart, home, stop, and the soak after it.
 */
export function drawVoyage(random: Random, withRestart = random.chance(0.3)): Leg[] {
  const legs: Leg[] = [];
  let atS = 0;
  const leg = (minutes: number, value: number, roughness = 0) => {
    atS += minutes * 60;
    const apart = value > 0.3 && value < 0.95 ? random.between(-0.03, 0.03) : 0;
    legs.push({ untilS: atS, throttle: { port: value, starboard: Math.min(1, value + apart) }, roughness });
  };
  leg(random.between(2, 5), 0.05);
  leg(random.between(3, 6), random.between(0.1, 0.3));
  const cruise = random.between(0.55, 0.85);
  leg(random.between(6, 12), cruise, random.chance(0.3) ? random.between(0.2, 1) : 0);
  if (random.chance(0.6)) {
    leg(random.between(0.2, 1), 0.08);
    leg(random.between(2, 5), 1);
  }
  leg(random.between(5, 10), random.between(0.45, 0.9), random.chance(0.3) ? random.between(0.2, 1) : 0);
  if (withRestart) {
    leg(random.between(1, 3), 0.05);
    leg(random.between(2, 12), 0);
    leg(random.between(0.5, 2), 0.08);
    leg(random.between(4, 8), cruise);
  }
  leg(random.between(4, 9), random.between(0.2, 0.7));
  leg(random.between(2, 4), 0.07);
  leg(random.between(6, 12), 0);
  return legs;
}

/** The sea trial of commissioning: idle, a staircase, wide open, two slams, home; on one trip in two a hot restart. */
export function seaTrial(random: Random, withRestart: boolean): Leg[] {
  const legs: Leg[] = [];
  let atS = 0;
  const leg = (minutes: number, value: number, roughness = 0) => {
    atS += minutes * 60;
    legs.push({ untilS: atS, throttle: { port: value, starboard: value }, roughness });
  };
  leg(random.between(3, 5), 0.05);
  for (const step of [0.2, 0.4, 0.6, 0.8]) leg(random.between(2, 3), step + random.between(-0.05, 0.05));
  leg(3, 1);
  for (let slam = 0; slam < 2; slam++) {
    leg(random.between(0.5, 1.5), 0.06);
    leg(random.between(1, 2), slam === 0 ? 1 : 0.85);
  }
  leg(random.between(3, 6), random.between(0.55, 0.85), random.chance(0.3) ? random.between(0.2, 1) : 0);
  leg(2, 0.06);
  if (withRestart) {
    leg(random.between(2, 8), 0);
    leg(1, 0.06);
    leg(random.between(3, 5), 0.7);
    leg(1, 0.06);
  }
  return legs;
}

/** Puts throttles and sea as the legs have it at `atS`; false when the voyage is over. */
export function followLegs(plant: Plant, legs: readonly Leg[], atS: number, held?: Engine): boolean {
  const leg = legs.find((l) => atS < l.untilS);
  if (!leg) return false;
  plant.roughness = leg.roughness;
  for (const engine of engines) if (engine !== held) plant.setThrottle(engine, leg.throttle[engine]);
  return true;
}
