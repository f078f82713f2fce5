import type { Random } from '../../../node/bench/plant/random.js';
import { type TwinId as Engine, twins as engines } from '../../../node/bench/plant/twins.js';
import type { CampaignPlant } from './campaign-plant.js';

/** What the skipper and the sea do at one moment of a voyage. */
export type Leg = {
  readonly untilS: number;
  readonly throttle: Readonly<Record<Engine, number>>;
  readonly roughness: number;
};

/** `start`: a cold engine is started and idles. */
export type Load = 'start' | 'idle' | 'cruise' | 'wide-open';
/** Throttle positions of each load: from and to. */
export const throttleOf: Readonly<Record<Load, readonly [number, number]>> = {
  start: [0.05, 0.1],
  idle: [0.05, 0.1],
  cruise: [0.6, 0.85],
  'wide-open': [1, 1],
};

/** Puts legs one behind the other; both engines run nearly alike. */
class Passage {
  readonly legs: Leg[] = [];
  private atS = 0;
  private readonly random: Random;

  constructor(random: Random) {
    this.random = random;
  }

  leg(minutes: number, value: number, roughness = 0): void {
    this.atS += minutes * 60;
    const apart = value > 0.3 && value < 0.95 ? this.random.between(-0.03, 0.03) : 0;
    this.legs.push({
      untilS: this.atS,
      throttle: { port: value, starboard: Math.min(1, value + apart) },
      roughness,
    });
  }
}

/** What boats do on most days, what they do in harbours, and a stop from full power. */
export function drawVoyage(random: Random): Leg[] {
  const kind = random.next();
  return kind < 0.7 ? ordinaryHour(random) : kind < 0.88 ? harbourDay(random) : hotStop(random);
}

/**
 * An ordinary hour: warm up at idle, out of the harbour, cruise with changes of mind, slams, a swell, a burst at wide
 * open, sometimes a stop and a hot restart, home, stop, and the soak after it.
 */
export function ordinaryHour(random: Random): Leg[] {
  const passage = new Passage(random);
  const swell = () => (random.chance(0.3) ? random.between(0.2, 1) : 0);
  passage.leg(random.between(2, 5), 0.05);
  passage.leg(random.between(3, 6), random.between(0.1, 0.3));
  const cruise = random.between(0.55, 0.85);
  passage.leg(random.between(6, 12), cruise, swell());
  if (random.chance(0.6)) {
    passage.leg(random.between(0.2, 1), 0.08);
    passage.leg(random.between(2, 5), 1);
  }
  passage.leg(random.between(5, 10), random.between(0.45, 0.9), swell());
  if (random.chance(0.3)) {
    passage.leg(random.between(1, 3), 0.05);
    passage.leg(random.between(2, 12), 0);
    passage.leg(random.between(0.5, 2), 0.08);
    passage.leg(random.between(4, 8), cruise);
  }
  passage.leg(random.between(4, 9), random.between(0.2, 0.7));
  passage.leg(random.between(2, 4), 0.07);
  passage.leg(random.between(6, 40), 0);
  return passage.legs;
}

/** Fuel berth, lock, anchor and quay: five starts, and stops of one to fifteen minutes after all sorts of load. */
function harbourDay(random: Random): Leg[] {
  const passage = new Passage(random);
  passage.leg(random.between(3, 6), 0.05);
  for (let stop = 0; stop < 5; stop++) {
    passage.leg(random.between(1, 6), random.between(0.1, 0.9));
    if (random.chance(0.6)) passage.leg(random.between(0.3, 2), 0.06);
    passage.leg(random.between(1, 15), 0);
    passage.leg(random.between(0.3, 2), 0.06);
  }
  passage.leg(random.between(10, 40), 0);
  return passage.legs;
}

/** Home at cruise, a minute or more at wide open, and the key turned without idling first. */
function hotStop(random: Random): Leg[] {
  const passage = new Passage(random);
  passage.leg(random.between(2, 4), 0.05);
  passage.leg(random.between(10, 20), random.between(0.5, 0.9));
  passage.leg(random.between(1, 5), 1);
  passage.leg(random.between(5, 30), 0);
  passage.leg(random.between(1, 3), 0.07);
  passage.leg(random.between(2, 8), random.between(0.3, 0.8));
  passage.leg(random.between(10, 30), 0);
  return passage.legs;
}

/** Puts throttles and sea as the legs have it at `atS`; false when the voyage is over. */
export function followLegs(plant: CampaignPlant, legs: readonly Leg[], atS: number, held?: Engine): boolean {
  const leg = legs.find((l) => atS < l.untilS);
  if (!leg) return false;
  plant.roughness = leg.roughness;
  for (const engine of engines) if (engine !== held) plant.setThrottle(engine, leg.throttle[engine]);
  return true;
}
