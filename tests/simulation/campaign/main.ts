import { appendFileSync, readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { type PlantName, plantNames } from './campaign-plant.js';
import { campaignTable } from './campaign-table.js';
import { runFallenProbes } from './fallen-probes.js';
import type { BoatRecord } from './record.js';
import { runCampaign } from './run-campaign.js';
import { summarise } from './summary.js';
import { type EngineMode, engineModes } from './twin-settings.js';

const help = `npm run campaign -- [--voyages N] [--seed S] [--plant first|second|third|fourth|fifth|sixth|seventh|all] [--workers N] [--json]
npm run campaign -- --fallen N [--seed S] [--plant P]

Invented boats, commissioned on six ordinary trips and then taken through a season, every second voyage with a fault.
  --voyages N  how many on each plant (120)
  --seed S     which boats, weather and faults (1); the same seed gives the same table
  --plant P    first, second, third, fourth, fifth, sixth, seventh or all (all)
  --engines E  twin (compared), single (each for itself) or generator (governed sets; --plant first)
               or no-input (compared, without running inputs) (twin)
  --trips N    commissioning trips of each boat (6)
  --boat N     voyages of each boat (10)
  --only LIST  only these of the boats, the first is 0, such as 3,7-9: to run again what was seen
  --workers N  processes that sail boats, each yielding to everything else (1)
  --pressure   a pressure probe behind each raw-water pump, and a table of the guard that reads it (a third more time)
  --loose      every probe of every boat has a loose connection, one to six bursts an hour
  --minutes N  no further boat sails after so long; what has been sailed counts
  --keep FILE  append the record of each boat to this file, one JSON document a line, as soon as she is home
  --from FILE  sail nothing: the table of the boats that were kept in this file
  --json       one JSON document on stdout instead of the table
  --fallen N   instead, on the first plant unless one is given: N boats with a probe that falls off its elbow, and how soon it is reported (about 7 s each)`;

const { values } = parseArgs({
  options: {
    voyages: { type: 'string', default: '120' },
    seed: { type: 'string', default: '1' },
    plant: { type: 'string', default: 'all' },
    engines: { type: 'string', default: 'twin' },
    trips: { type: 'string', default: '6' },
    boat: { type: 'string', default: '10' },
    only: { type: 'string' },
    workers: { type: 'string', default: '1' },
    minutes: { type: 'string' },
    fallen: { type: 'string' },
    loose: { type: 'boolean', default: false },
    pressure: { type: 'boolean', default: false },
    keep: { type: 'string' },
    from: { type: 'string' },
    json: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});

const refuse = (what: string): never => {
  console.error(`${what}\n\n${help}`);
  process.exit(2);
};

const whole = (name: 'voyages' | 'seed' | 'trips' | 'boat' | 'workers' | 'fallen' | 'minutes'): number => {
  const value = Number(values[name]);
  return Number.isInteger(value) && value > 0
    ? value
    : refuse(`--${name} ${values[name]} is not a whole number above 0.`);
};

const boatsOf = (list: string): ReadonlySet<number> =>
  new Set(
    list.split(',').flatMap((part) => {
      const [, from, to = from] =
        /^(\d+)(?:-(\d+))?$/.exec(part) ?? refuse(`--only ${list} is not as 3,7-9.`);
      return Array.from({ length: Math.max(0, Number(to) - Number(from) + 1) }, (_, i) => Number(from) + i);
    }),
  );

const plantsOf = (word: string): readonly PlantName[] =>
  word === 'all'
    ? plantNames
    : [
        plantNames.find((name) => name === word) ??
          refuse(`--plant ${word} is none of ${plantNames.join(', ')}, all.`),
      ];

const enginesOf = (word: string, plants: readonly PlantName[]): EngineMode => {
  const mode =
    engineModes.find((one) => one === word) ??
    refuse(`--engines ${word} is none of ${engineModes.join(', ')}.`);
  return mode === 'generator' && plants.some((plant) => plant !== 'first')
    ? refuse('Only the first plant has generator sets: add --plant first.')
    : mode;
};

if (values.help) console.log(help);
else if (values.fallen !== undefined) {
  const [boats, seed] = [whole('fallen'), whole('seed')];
  for (const plant of values.plant === 'all' ? (['first'] as const) : plantsOf(values.plant))
    console.log(JSON.stringify({ plant, ...runFallenProbes({ boats, seed, plant }) }, null, 1));
} else {
  const [seed, trips, plants] = [whole('seed'), whole('trips'), plantsOf(values.plant)];
  const { keep } = values;
  const records = values.from
    ? readFileSync(values.from, 'utf8')
        .split('\n')
        .filter(Boolean)
        .map((line) => JSON.parse(line) as BoatRecord)
    : await runCampaign({
        plants,
        seed,
        trips,
        voyages: whole('voyages'),
        voyagesPerBoat: whole('boat'),
        workers: whole('workers'),
        loose: values.loose,
        pressure: values.pressure,
        engines: enginesOf(values.engines, plants),
        ...(values.minutes !== undefined && { minutes: whole('minutes') }),
        ...(values.only !== undefined && { only: boatsOf(values.only) }),
        onBoat: (record, done, all) => {
          if (keep) appendFileSync(keep, `${JSON.stringify(record)}\n`);
          if (done % 10 === 0) console.error(`${done} of ${all} boats`);
        },
      });
  const summaries = plants.map((plant) => summarise(plant, records)).filter(({ boats }) => boats > 0);
  console.log(
    values.json ? JSON.stringify({ seed, trips, summaries }, null, 1) : campaignTable(seed, trips, summaries),
  );
}
