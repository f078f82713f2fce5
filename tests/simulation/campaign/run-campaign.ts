import { fork } from 'node:child_process';
import { setPriority } from 'node:os';
import { fileURLToPath } from 'node:url';
import type { PlantName } from './campaign-plant.js';
import type { BoatRecord } from './record.js';
import { type BoatOptions, sailBoat } from './sail-boat.js';
import type { EngineMode } from './twin-settings.js';

export type CampaignOptions = {
  readonly plants: readonly PlantName[];
  readonly seed: number;
  readonly voyages: number;
  readonly trips: number;
  readonly voyagesPerBoat: number;
  /** Processes beside this one; 0 sails every boat here. */
  readonly workers: number;
  /** What the two engines of each boat are to each other; `twin` unless said otherwise. */
  readonly engines?: EngineMode;
  /** Every probe of every boat has a loose connection. */
  readonly loose?: boolean;
  /** A pressure probe behind each raw-water pump. */
  readonly pressure?: boolean;
  /** Only these boats of the campaign, by number; all of them unless given. */
  readonly only?: ReadonlySet<number>;
  /** After so long no further boat sails; what has been sailed counts. */
  readonly minutes?: number;
  readonly onBoat?: (record: BoatRecord, done: number, all: number) => void;
};

/** Sails `voyages` on each plant, boat by boat. The records do not depend on the number of workers. */
export async function runCampaign(options: CampaignOptions): Promise<BoatRecord[]> {
  const {
    plants,
    seed,
    voyages,
    trips,
    voyagesPerBoat,
    workers,
    minutes,
    only,
    loose = false,
    pressure = false,
    engines,
    onBoat,
  } = options;
  const endAtMs = Date.now() + (minutes ?? Number.POSITIVE_INFINITY) * 60_000;
  const tasks: BoatOptions[] = [];
  for (let boat = 0; boat * voyagesPerBoat < voyages; boat++)
    for (const plant of only && !only.has(boat) ? [] : plants) {
      const left = voyages - boat * voyagesPerBoat;
      tasks.push({
        plant,
        seed,
        boat,
        trips,
        loose,
        pressure,
        ...(engines && { engines }),
        voyages: Math.min(voyagesPerBoat, left),
      });
    }
  const records: BoatRecord[] = [];
  const done = (record: BoatRecord) => {
    records.push(record);
    onBoat?.(record, records.length, tasks.length);
  };
  if (workers === 0)
    for (const task of tasks) {
      if (Date.now() < endAtMs) done(sailBoat(task));
    }
  else {
    const queue = [...tasks];
    await Promise.all(
      Array.from({ length: Math.min(workers, tasks.length) }, () => work(queue, endAtMs, done)),
    );
  }
  return records.sort((a, b) => a.boat - b.boat || (a.plant < b.plant ? -1 : 1));
}

/** How much a worker yields to everything else on the machine. */
const niceness = 10;

/** One process that takes boats from the queue until it is empty or the time is up. Rejects when the process ends before. */
const work = (queue: BoatOptions[], endAtMs: number, done: (record: BoatRecord) => void): Promise<void> =>
  new Promise((resolve, reject) => {
    const child = fork(fileURLToPath(import.meta.url), [workerWord]);
    if (child.pid !== undefined) setPriority(child.pid, niceness);
    const next = () => {
      const task = Date.now() < endAtMs ? queue.shift() : undefined;
      if (task) child.send(task);
      else child.disconnect();
    };
    child.on('message', (record) => {
      done(record as BoatRecord);
      next();
    });
    child.on('error', reject);
    child.on('exit', (code) =>
      code === 0 ? resolve() : reject(new Error(`A campaign worker ended with code ${code}.`)),
    );
    next();
  });

const workerWord = 'sail-boats';
if (process.argv[2] === workerWord)
  process.on('message', (task) => {
    process.send?.(sailBoat(task as BoatOptions));
  });
