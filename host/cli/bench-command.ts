import { join, resolve } from 'node:path';
import { type BenchBoatName, benchBoats } from '../../node/bench/index.js';
import { loadKit } from '../../node/index.js';
import { freePort } from '../supervise/free-port.js';
import { copyKitForBench } from './bench-kit-copy.js';
import { defineCommand } from './define-command.js';
import { isPort } from './port-option.js';
import { summaries } from './summaries.js';
import { superviseHere } from './supervise-here.js';
import { writeIfMissing } from './write-if-missing.js';

type Details = { readonly controlPort: number; readonly dataDir: string; readonly bagged: string };

const story = (details: Details, page: string): string => `
${page}

  An invented boat, with real firmware on an emulated board. Try this:
  1. Open the page and watch the room shrink after:  ${act(details, 'bag-intake')}
  2. Listen to the alarm, acknowledge it on the page, then end it:  ${act(details, 'clear-intake')}
  3. Pull the cable and put it back:  ${act(details, 'unplug')} (then "replug")
  The page's Bench does all of this too, and throttles, baths and a hot dip.

Ctrl-C stops everything. What is stored is in ${details.dataDir}
`;

const act = ({ controlPort, bagged }: Details, action: string): string =>
  `curl -d '${JSON.stringify(action.endsWith('intake') ? { action, engine: bagged } : { action })}' http://127.0.0.1:${controlPort}/do`;

/** No engine depends on the invented boat's guard: a port that is taken gives the prompt back. */
const onTheBench = { endsAll: true, progressWithinMs: 60_000 } as const;

export const benchCommand = defineCommand({
  ...summaries.bench,
  when: 'First of all: see what the kit does, with no boat and no hardware. Everything in it is invented.',
  builder: (yargs) =>
    yargs
      .option('page-port', { type: 'number', default: 8470, describe: 'Port of the page, on loopback' })
      .option('control-port', {
        type: 'number',
        default: 8471,
        describe: 'Port that takes throttle, bag-intake, unplug and the like; GET / lists them',
      })
      .check(isPort('page-port'))
      .check(isPort('control-port'))
      .option('season', {
        type: 'boolean',
        default: true,
        describe: 'Write a season of invented history to an empty store; --no-season for none',
      })
      .option('boat', {
        choices: Object.keys(benchBoats) as BenchBoatName[],
        default: 'twin' as const,
        describe: 'Which invented boat',
      })
      .option('kit', {
        type: 'string',
        describe:
          'Your own kit file, on an emulated Uno with an invented boat behind it; the file is only read',
      })
      .option('data-dir', {
        type: 'string',
        describe:
          'Where kit, store and state are; .data/bench unless given, with a boat of its own .data/bench-BOAT',
      })
      .example('$0 bench', 'An invented boat with a season behind it; npm start does the same')
      .example('$0 bench --boat single', 'A boat with one engine')
      .example('$0 bench --kit kit.yaml', 'Your kit, before a part is bought: the boat behind it is invented')
      .example(
        '$0 bench --page-port 8480 --control-port 8481 --data-dir .data/second',
        'A second one beside it',
      ),
  handler: async (options) => {
    const dataDir = resolve(options.dataDir ?? usualDataDir(options));
    const kit = join(dataDir, 'kit.yaml');
    if (options.kit === undefined) writeIfMissing(kit, benchBoats[options.boat]);
    else copyKitForBench(resolve(options.kit), kit);
    const { engines } = loadKit(kit);
    const bagged = (engines[1] ?? engines[0])?.id ?? '';
    const board = await freePort();
    const link = await freePort();
    await superviseHere({
      members: [
        {
          name: 'board',
          ...onTheBench,
          args: [
            'bench-board',
            '--kit',
            kit,
            '--board-port',
            `${board}`,
            '--control-port',
            `${options.controlPort}`,
          ],
        },
        {
          name: 'node',
          ...onTheBench,
          args: [
            'node',
            '--kit',
            kit,
            '--board',
            `tcp://127.0.0.1:${board}`,
            '--link',
            `127.0.0.1:${link}`,
            '--data-dir',
            join(dataDir, 'node'),
            '--invented',
          ],
        },
        {
          name: 'host',
          ...onTheBench,
          args: [
            'host',
            '--node',
            `127.0.0.1:${link}`,
            '--data-dir',
            join(dataDir, 'host'),
            '--page-port',
            `${options.pagePort}`,
            '--control-port',
            `${options.controlPort}`,
            '--kit',
            kit,
            ...(options.season ? ['--season'] : []),
          ],
        },
      ],
      exitWithParent: true,
      endsWithTerminal: true,
      onUp: (details) =>
        console.log(story({ controlPort: options.controlPort, dataDir, bagged }, String(details.host?.page))),
    });
  },
});

const usualDataDir = ({
  kit,
  boat,
}: {
  readonly kit: string | undefined;
  readonly boat: BenchBoatName;
}): string =>
  kit === undefined ? (boat === 'twin' ? '.data/bench' : `.data/bench-${boat}`) : '.data/bench-own-kit';
