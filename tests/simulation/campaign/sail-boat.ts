import { makeRandom } from '../../../node/bench/plant/random.js';
import { type PlantName, plantNames } from './campaign-plant.js';
import { commissionBoat } from './commission-boat.js';
import { DrawnBoat } from './drawn-boat.js';
import { drawFault, mendBoat } from './fault.js';
import { PumpLearner } from './learn-pumps.js';
import { PumpGauges } from './pump-gauges.js';
import { type BoatRecord, newRecord } from './record.js';
import { Voyage } from './sail-voyage.js';
import type { EngineMode } from './twin-settings.js';
import { Watchers } from './watchers.js';

export type BoatOptions = {
  readonly plant: PlantName;
  readonly seed: number;
  readonly boat: number;
  readonly voyages: number;
  readonly trips: number;
  /** Two engines that are compared unless said otherwise. */
  readonly engines?: EngineMode;
  /** Every probe has a loose connection, whatever was drawn. */
  readonly loose?: boolean;
  /** A pressure probe behind each raw-water pump, and one more guard that reads it. */
  readonly pressure?: boolean;
};

/** One boat from commissioning through her season; every second voyage has a fault. The same options give the same record. */
export function sailBoat({
  plant,
  seed,
  boat: number,
  voyages,
  trips,
  loose = false,
  engines: mode,
  pressure = false,
}: BoatOptions): BoatRecord {
  const random = makeRandom(seed * 100_003 + number * 3 + plantNames.indexOf(plant));
  const mounting = number % 2 === 0 ? 'strap-on' : 'well';
  const boat = new DrawnBoat(Math.floor(random.next() * 2 ** 31), mounting, plant, loose, mode);
  // Chance of its own, so that boat and voyages do not depend on what is fitted.
  const gauges = pressure ? new PumpGauges(makeRandom(seed * 7_919 + number), loose) : undefined;
  const learner = gauges && new PumpLearner(boat, gauges);
  const { probes, elbows } = commissionBoat(boat, trips, random, random.chance(0.5), learner);
  const record = newRecord({ plant, boat: number, mounting, elbows }, pressure);
  let learned = learner?.learned;
  for (let v = 0; v < voyages; v++) {
    mendBoat(boat);
    boat.moored();
    const pumps = gauges && learned && { probes: gauges.probes, learned };
    const watchers = new Watchers(probes, boat.atMs, boat.mode, pumps);
    new Voyage(boat, watchers, random, v % 2 === 1 ? drawFault(random) : undefined, record, gauges).sail();
    learned = watchers.learnedPumps;
    record.voyages++;
  }
  return record;
}
