import { join, resolve } from 'node:path';
import { superviseHere } from './crew.js';
import { defineCommand } from './define-command.js';

export const watchCommand = defineCommand({
  command: 'watch',
  describe: 'Guard the engines and show the page: node and host as two processes, each restarted if it ends',
  builder: (yargs) =>
    yargs
      .option('kit', { type: 'string', default: 'kit.yaml', describe: 'The kit file' })
      .option('page-port', { type: 'number', default: 8470, describe: 'Port of the page, on loopback' })
      .option('link', {
        type: 'string',
        default: '127.0.0.1:8472',
        describe: 'host:port on which the node tells its readings',
      })
      .option('data-dir', {
        type: 'string',
        default: 'elbowroom-data',
        describe: 'Where store and state lie',
      }),
  handler: async (options) => {
    const dataDir = resolve(options.dataDir);
    await superviseHere({
      members: [
        {
          name: 'node',
          args: ['node', '--kit', options.kit, '--link', options.link, '--data-dir', join(dataDir, 'node')],
        },
        {
          name: 'host',
          args: [
            'host',
            '--node',
            options.link,
            '--data-dir',
            join(dataDir, 'host'),
            '--page-port',
            `${options.pagePort}`,
          ],
        },
      ],
      tied: false,
      onUp: (details) => console.log(`${details.host?.page}\nCtrl-C stops node and host.`),
    });
  },
});
