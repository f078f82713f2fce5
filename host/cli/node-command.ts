import { runNode } from '../../node/index.js';
import { sayReady } from '../supervise/supervise.js';
import { defineCommand } from './define-command.js';
import { stayUntilStopped } from './long-running.js';

export const nodeCommand = defineCommand({
  command: 'node',
  describe: 'Guard the engines: read the board, judge, sound the buzzer, and tell any host that listens',
  builder: (yargs) =>
    yargs
      .option('kit', { type: 'string', default: 'kit.yaml', describe: 'The kit file' })
      .option('board', {
        type: 'string',
        describe: "Instead of the kit's own: auto, a serial path, tcp://host:port",
      })
      .option('link', { type: 'string', describe: "Instead of the kit's own: host:port to listen on" })
      .option('data-dir', { type: 'string', describe: 'Where standing alerts are kept over a restart' })
      .option('tied', { type: 'boolean', default: false, hidden: true }),
  handler: async ({ kit, board, link, dataDir, tied }) => {
    const node = await runNode({
      kitPath: kit,
      ...(board !== undefined && { connection: board }),
      ...(link !== undefined && { linkListen: link }),
      ...(dataDir !== undefined && { dataDir }),
    });
    if (node.linkPort !== undefined)
      console.error(`Node is guarding; its link listens on port ${node.linkPort}.`);
    sayReady({ linkPort: node.linkPort });
    await stayUntilStopped(() => node.stop(), tied);
  },
});
