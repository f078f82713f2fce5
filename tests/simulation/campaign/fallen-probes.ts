import { makeRandom } from '../../../node/bench/plant/random.js';
import { type TwinId as Engine, twins as engines } from '../../../node/bench/plant/twins.js';
import { guard, startGuard } from '../../../node/guard/guard.js';
import type { PlantName } from './campaign-plant.js';
import { campaignSettings } from './campaign-settings.js';
import { commissionBoat } from './commission-boat.js';
import { DrawnBoat, passS } from './drawn-boat.js';
import { quantile } from './statistics.js';
import { drawVoyage, followLegs, type Leg } from './voyage.js';

/** What became of probes that fell off their elbows. */
export type FallenScores = {
  readonly falls: number;
  readonly reportedOnThatVoyage: number;
  /** Or on the next, if not on that. */
  readonly reportedByTheNext: number;
  /** From the fall, of those reported on that voyage, s. */
  readonly medianS: number;
  readonly slowestS: number;
  readonly falseCautions: number;
  readonly runningHours: number;
};

/**
 * Boats, each on one voyage that is healthy, one on which a probe falls off with ten minutes or more to go, and one on
 * which it still hangs there; ordinary voyages, whose throttle is not moved for the sake of the guard.
 */
export function runFallenProbes({
  boats,
  seed,
  plant: kind = 'first',
}: {
  boats: number;
  seed: number;
  plant?: PlantName;
}): FallenScores {
  const afterS: number[] = [];
  let [falls, reportedByTheNext, falseCautions, runningHours] = [0, 0, 0, 0];
  for (let number = 0; number < boats; number++) {
    const random = makeRandom(seed * 100_003 + number);
    const mounting = number % 2 === 0 ? 'strap-on' : 'well';
    const boat = new DrawnBoat(Math.floor(random.next() * 2 ** 31), mounting, kind);
    const settings = campaignSettings(commissionBoat(boat, 6, random, false).probes);
    const sail = (engine: Engine | undefined, fallsAtS: number, legs = drawVoyage(random)) => {
      const plant = boat.moored();
      let state = startGuard(boat.atMs);
      let reportedAtS: number | undefined;
      const known = new Set<string>();
      for (let s = 0; followLegs(plant, legs, s); s += passS) {
        if (engine && s >= fallsAtS) plant.engines[engine].ailments.fallenProbe = true;
        for (const e of engines) if (plant.isRunning(e)) runningHours += passS / 3600;
        state = guard(state, boat.pass(), settings).state;
        for (const { alert } of state.entries) {
          const once = `${alert.id} ${alert.sinceMs}`;
          if (alert.rule !== 'probe-fallen' || known.has(once)) continue;
          known.add(once);
          if (s >= fallsAtS && alert.probe === `${engine}-elbow`) reportedAtS ??= s;
          else falseCautions++;
        }
      }
      return reportedAtS === undefined ? undefined : reportedAtS - fallsAtS;
    };
    sail(undefined, Number.POSITIVE_INFINITY);
    const engine = random.chance(0.5) ? 'port' : 'starboard';
    const legs = drawVoyage(random);
    const reportedAfterS = sail(engine, random.between(500, afloatS(legs) - 600), legs);
    falls++;
    if (reportedAfterS !== undefined) afterS.push(reportedAfterS);
    const later = sail(engine, 0);
    if (reportedAfterS !== undefined || later !== undefined) reportedByTheNext++;
  }
  return {
    falls,
    reportedOnThatVoyage: afterS.length,
    reportedByTheNext,
    medianS: quantile(afterS, 0.5),
    slowestS: quantile(afterS, 1),
    falseCautions,
    runningHours,
  };
}

const afloatS = (legs: readonly Leg[]): number => legs.findLast((leg) => leg.throttle.port > 0)?.untilS ?? 0;
