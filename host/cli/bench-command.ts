import { join, resolve } from 'node:path';
import { freePort } from '../supervise/free-port.js';
import { superviseHere } from './crew.js';
import { defineCommand } from './define-command.js';
import { isPort } from './port-option.js';

const story = (options: { controlPort: number; dataDir: string }, page: string): string => `
${page}

  An invented boat, with real firmware on an emulated board. Try this:
  1. Open the page and watch the room shrink after:  ${act(options, 'bag-intake')}
  2. Hear out the alarm, acknowledge it on the page, then mend it:  ${act(options, 'clear-intake')}
  3. Pull the cable and put it back:  ${act(options, 'unplug')} (then "replug")

Ctrl-C stops everything. What is stored lies in ${options.dataDir}
`;

const act = ({ controlPort }: { controlPort: number }, action: string): string =>
  `curl -d '${JSON.stringify(action.endsWith('intake') ? { action, engine: 'starboard' } : { action })}' http://127.0.0.1:${controlPort}/do`;

/** No engine depends on the invented boat's guard: a port that is taken gives the prompt back. */
const onTheBench = { endsAll: true, progressWithinMs: 60_000 } as const;

export const benchCommand = defineCommand({
  command: 'bench',
  describe: 'Run everything against an emulated board with an invented boat behind it',
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
        describe: 'Lay a season of invented history into an empty store; --no-season for none',
      })
      .option('data-dir', {
        type: 'string',
        default: '.data/bench',
        describe: 'Where kit, store and state lie',
      })
      .example('$0 bench', 'An invented boat with a season behind it; npm start does the same')
      .example(
        '$0 bench --page-port 8480 --control-port 8481 --data-dir .data/second',
        'A second one beside it',
      ),
  handler: async (options) => {
    const dataDir = resolve(options.dataDir);
    const kit = join(dataDir, 'kit.yaml');
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
      onUp: (details) => console.log(story({ ...options, dataDir }, String(details.host?.page))),
    });
  },
});
