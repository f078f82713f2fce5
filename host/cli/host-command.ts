import { quietLog } from '../../node/index.js';
import { reachableAt } from '../serve/reachable-at.js';
import { usualDataDir } from '../settings/chosen-degrees.js';
import { holdDataFolder } from '../supervise/data-folder.js';
import { sayProgress, sayReady } from '../supervise/messages.js';
import { defineCommand } from './define-command.js';
import { linkSecretBeside } from './link-secret-beside.js';
import { stayUntilStopped } from './long-running.js';
import { isPort } from './port-option.js';
import { keepOnWithoutReader } from './steady-output.js';
import { summaries } from './summaries.js';
import { pageOptions, textOption } from './usual-options.js';

export const hostCommand = defineCommand({
  ...summaries.host,
  when: 'Where store and page run on another computer than the guard. Else elbowroom watch starts it.',
  builder: (yargs) =>
    yargs
      .option('node', {
        type: 'string',
        array: true,
        default: ['127.0.0.1:8472'],
        describe: 'Where a node is: host:port or serial:///dev/ttyUSB1; repeat it for several',
      })
      .option('data-dir', {
        ...textOption("The host's own folder, with the store and host.yaml in it"),
        default: usualDataDir,
      })
      .options(pageOptions)
      .check(isPort('page-port'))
      .option('kit', { type: 'string', describe: 'The kit file, for the Set-up and Calibrate screens' })
      .option('link-secret', {
        type: 'string',
        describe: "The node's link secret, a file; by default link-secret beside the data folder",
      })
      .option('control-port', { type: 'number', hidden: true })
      .option('season', { type: 'boolean', default: false, hidden: true })
      .option('page-may-wait', { type: 'boolean', default: false, hidden: true })
      .option('exit-with-parent', { type: 'boolean', default: false, hidden: true })
      .example('$0 host --node 192.168.1.30:8472', 'The guard runs on another computer')
      .example('$0 host --node 192.168.1.30:8472 --node 192.168.1.31:8472', 'Two of them'),
  handler: async ({
    node,
    dataDir,
    pagePort,
    pageListen,
    controlPort,
    season,
    exitWithParent,
    pageMayWait,
    kit,
    tlsCert,
    tlsKey,
    linkSecret,
  }) => {
    keepOnWithoutReader();
    await holdDataFolder(dataDir);
    const { runHost } = await import('../run/run-host.js');
    const say = (url: string) => console.error(`The page is at ${reachableAt(url).join(' or ')}`);
    const waits = (why: string) =>
      console.error(`${why} Readings are stored and messages sent all the same; the page is tried again.`);
    const host = await runHost({
      dataDir,
      pagePort,
      nodes: node,
      season,
      unattended: !process.stdin.isTTY,
      // To stderr in lines for a person, bounded in number: what needs one, and nothing else.
      log: quietLog(),
      linkSecret: linkSecret ?? linkSecretBeside(dataDir),
      ...(pageListen !== undefined && { pageListen }),
      ...(kit !== undefined && { kitPath: kit }),
      ...(tlsCert !== undefined && tlsKey !== undefined && { tls: { certPath: tlsCert, keyPath: tlsKey } }),
      ...(controlPort !== undefined && { controlPort }),
      ...(pageMayWait && { latePage: { waits, served: say } }),
    });
    if (host.page !== undefined) say(host.page);
    sayReady({ ...(host.page !== undefined && { page: host.page }) });
    let turns = 0;
    sayProgress(() => turns++);
    await stayUntilStopped(() => host.close(), exitWithParent);
  },
});
