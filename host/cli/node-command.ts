import { logLevels, runNode } from '../../node/index.js';
import { holdDataFolder } from '../supervise/data-folder.js';
import { sayProgress, sayReady } from '../supervise/messages.js';
import { defineCommand } from './define-command.js';
import { linkSecretBeside } from './link-secret-beside.js';
import { stayUntilStopped } from './long-running.js';
import { keepOnWithoutReader } from './steady-output.js';
import { summaries } from './summaries.js';
import { kitOption } from './usual-options.js';

/** A board needs about 2 s from opening its port to its first message; after this a line is printed. */
const boardTakesMs = 5000;
/** What is not done by then (a disk that hangs) is left: the pins are low by then, and the missing-pulse circuit sounds. */
const stopWithinMs = 1_900;

export const nodeCommand = defineCommand({
  ...summaries.node,
  when: 'Where the guard should run alone: on a computer of its own, or under a supervisor. Otherwise elbowroom watch starts it.',
  caution: "It does not replace the engine's own alarms.",
  builder: (yargs) =>
    yargs
      .options(kitOption)
      .option('board', {
        type: 'string',
        describe: "Instead of the kit's own: auto, a serial path, tcp://host:port",
      })
      .option('link', { type: 'string', describe: "Instead of the kit's own: host:port to listen on" })
      .option('data-dir', { type: 'string', describe: 'Where active alerts are kept over a restart' })
      .option('replay', {
        type: 'string',
        describe: 'Watch a recording of elbowroom wiring --record instead of a board',
      })
      .option('health', {
        type: 'string',
        describe: 'Serve GET /health and /alive on host:port, for a supervisor',
      })
      .option('log', {
        choices: logLevels,
        default: 'warn' as const,
        describe: 'What the log on stderr shows',
      })
      .option('link-secret', {
        type: 'string',
        describe:
          'File with the link secret: the node takes commands only from a host with the same file; by default link-secret beside the data folder',
      })
      .option('invented', { type: 'boolean', default: false, hidden: true })
      .option('exit-with-parent', { type: 'boolean', default: false, hidden: true })
      .example('$0 node --kit kit.yaml --data-dir elbowroom-data/node', 'Guards without a host')
      .example('$0 node --health 127.0.0.1:8474', 'For a supervisor that checks whether it is alive'),
  handler: async ({
    kit,
    board,
    link,
    dataDir,
    replay,
    health,
    log,
    linkSecret,
    invented,
    exitWithParent,
  }) => {
    const secretPath = linkSecret ?? (dataDir === undefined ? undefined : linkSecretBeside(dataDir));
    let reload = (): void => {};
    keepOnWithoutReader(() => reload());
    const node = await runNode({
      kitPath: kit,
      ...(board !== undefined && { connection: board }),
      ...(link !== undefined && { linkListen: link }),
      ...(dataDir !== undefined && { dataDir, holdDataDir: async (dir) => void (await holdDataFolder(dir)) }),
      ...(replay !== undefined && { replay }),
      ...(health !== undefined && { healthListen: health }),
      ...(secretPath !== undefined && { linkSecret: secretPath }),
      logLevel: log,
      invented,
    });
    reload = () => console.error(node.reload().detail);
    const linkPort = node.linkPort();
    if (linkPort !== undefined) console.error(`The node runs; its link listens on port ${linkPort}.`);
    sayReady({ linkPort });
    sayProgress(node.passes);
    setTimeout(() => {
      const board = node.board();
      if (board.state !== 'connected') console.error(`No board yet: ${board.detail}`);
    }, boardTakesMs).unref();
    await stayUntilStopped(() => node.stop(), exitWithParent, stopWithinMs);
  },
});
