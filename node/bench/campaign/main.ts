import { parseArgs } from 'node:util';
import { type CampaignOptions, runCampaign } from './campaign.js';
import { campaignTable } from './campaign-table.js';
import { runFallenProbes } from './fallen-probes.js';

const help = `npm run campaign -- [--voyages N] [--seed S] [--trips N] [--loose] [--json]
npm run campaign -- --fallen N [--seed S]

Invented boats, commissioned and then taken on voyages, every second one with a fault, under five detectors.
  --voyages N  how many (240; about 2,000 an hour on one core)
  --seed S     which boats, weather and faults (1); the same seed gives the same table
  --trips N    commissioning trips of each boat (6)
  --loose      every probe of every boat has a loose connection, one to six bursts an hour
  --json       one JSON document on stdout instead of the table
  --fallen N   instead: N boats with a probe that falls off its elbow, and how soon it is told (about 7 s each)`;

const whole = (name: string, text: string): number => {
  const value = Number(text);
  if (Number.isInteger(value) && value > 0) return value;
  console.error(`--${name} ${text} is not a whole number above 0.\n\n${help}`);
  process.exit(2);
};

const { values } = parseArgs({
  options: {
    voyages: { type: 'string', default: '240' },
    seed: { type: 'string', default: '1' },
    trips: { type: 'string', default: '6' },
    fallen: { type: 'string' },
    loose: { type: 'boolean', default: false },
    json: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});
if (values.help) console.log(help);
else if (values.fallen !== undefined)
  console.log(
    JSON.stringify(
      runFallenProbes({ boats: whole('fallen', values.fallen), seed: whole('seed', values.seed) }),
      null,
      1,
    ),
  );
else {
  const options: CampaignOptions = {
    voyages: whole('voyages', values.voyages),
    seed: whole('seed', values.seed),
    trips: whole('trips', values.trips),
    loose: values.loose,
    onVoyage: ({ voyages: done }) => {
      if (done % 20 === 0) console.error(`${done} of ${values.voyages} voyages`);
    },
  };
  const summary = { seed: options.seed, trips: options.trips, ...runCampaign(options).summary() };
  console.log(values.json ? JSON.stringify(summary, null, 1) : campaignTable(summary));
}
