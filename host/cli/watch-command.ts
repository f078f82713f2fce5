import { join, resolve } from 'node:path';
import { checkStart, loadKit } from '../../node/index.js';
import { checkPageOptions } from '../serve/page-error.js';
import { reachableAt } from '../serve/reachable-at.js';
import { hostFolderIn } from '../settings/data-folders.js';
import { readHostSettings } from '../settings/read-settings.js';
import { defineCommand } from './define-command.js';
import { UsageError } from './exit.js';
import { guardFlags } from './guard-flags.js';
import { isPort } from './port-option.js';
import { summaries } from './summaries.js';
import { superviseHere } from './supervise-here.js';
import { pageOptions } from './usual-options.js';

/** Fifty passes of the usual kit, five of the slowest. */
const nodeProgressWithinMs = 5_000;
/** A large store may keep the host busy for a while. */
const hostProgressWithinMs = 60_000;

export const watchCommand = defineCommand({
  ...summaries.watch,
  when: 'Whenever an engine may run. elbowroom service install starts it when the power comes on.',
  caution:
    "It does not replace the engine's own alarms. No chirp of the buzzer as an engine starts: no trust.",
  builder: (yargs) =>
    yargs
      .option('kit', {
        type: 'string',
        array: true,
        nargs: 1,
        default: ['kit.yaml'],
        describe: 'The kit file; repeat it where the boat has a second board, each with a kit of its own',
      })
      .options(pageOptions)
      .check(isPort('page-port'))
      .option('link', {
        type: 'string',
        default: '127.0.0.1:8472',
        describe: 'host:port on which the node sends its readings; a second node takes the next port',
      })
      .option('data-dir', {
        type: 'string',
        default: 'elbowroom-data',
        describe: 'Where store and state are',
      })
      .example('$0 watch --kit kit.yaml', 'The page is at http://127.0.0.1:8470')
      .example('$0 watch --kit fore.yaml --kit aft.yaml', 'Two boards, two nodes, one page')
      .example('$0 watch --page-listen 0.0.0.0', 'For a tablet aboard; set pass-phrases first'),
  handler: async (options) => {
    const dataDir = resolve(options.dataDir);
    // What a person typed just now is refused at once; later nothing ends the watch but a stop.
    const nodes = nodesOf(options.kit, options.link, dataDir);
    for (const { kit, link, data } of nodes)
      await checkStart({ kitPath: kit, dataDir: data, linkListen: link });
    refuseOneName(options.kit);
    const hostData = hostFolderIn(dataDir);
    // A service keeps guarding without its page; a person who typed it expects the prompt back.
    if (process.stdin.isTTY) {
      checkPageOptions({ ...options, dataDir: hostData });
      readHostSettings(hostData);
    }
    await superviseHere({
      members: [
        ...nodes.map(({ name, kit, link, data }) => ({
          name,
          endsAll: false,
          execArgv: guardFlags,
          progressWithinMs: nodeProgressWithinMs,
          whenDown: `NOTHING GUARDS THE ENGINES ${nodes.length > 1 ? `OF ${kit} ` : ''}until it is back; the missing-pulse circuit sounds.`,
          args: ['node', '--kit', kit, '--link', link, '--data-dir', data],
        })),
        {
          name: 'host',
          endsAll: false,
          progressWithinMs: hostProgressWithinMs,
          whenDown:
            'The node KEEPS GUARDING with its buzzer, but nothing is shown, stored or sent; Ctrl-C ends both.',
          args: [
            'host',
            '--page-may-wait',
            ...nodes.flatMap(({ link }) => ['--node', link]),
            '--data-dir',
            hostData,
            '--page-port',
            `${options.pagePort}`,
            ...(options.kit[0] === undefined ? [] : ['--kit', options.kit[0]]),
            ...(options.pageListen === undefined ? [] : ['--page-listen', options.pageListen]),
            ...(options.tlsCert === undefined ? [] : ['--tls-cert', options.tlsCert]),
            ...(options.tlsKey === undefined ? [] : ['--tls-key', options.tlsKey]),
          ],
        },
      ],
      exitWithParent: false,
      endsWithTerminal: false,
      onUp: ({ host }) => {
        const page =
          host?.page === undefined ? ['The page waits (see above).'] : reachableAt(String(host.page));
        console.log(`${page.join('\n')}\nCtrl-C stops node and host.`);
      },
    });
  },
});

type NodeAsked = {
  readonly name: string;
  readonly kit: string;
  readonly link: string;
  readonly data: string;
};

/** One node for each kit: `node`, `node-2` and so on, on ports that follow each other. */
const nodesOf = (kits: readonly string[], link: string, dataDir: string): readonly NodeAsked[] =>
  kits.map((kit, i) => {
    const name = i === 0 ? 'node' : `node-${i + 1}`;
    return { name, kit, link: portAfter(link, i), data: join(dataDir, name) };
  });

const portAfter = (link: string, by: number): string =>
  link.replace(/:(\d+)$/, (_, port: string) => `:${Number(port) + by}`);

/**
 * The host distinguishes nodes by their names. Throws `UsageError`. A kit that cannot be read is left to its node, which has
 * a copy of the last good one: it must not keep the other board unguarded.
 */
export const refuseOneName = (kits: readonly string[]): void => {
  const names = kits.flatMap((path) => {
    try {
      return [loadKit(path).node];
    } catch {
      return [];
    }
  });
  const twice = names.find((name, i) => names.indexOf(name) < i);
  if (twice !== undefined)
    throw new UsageError(
      `Two kit files have node: ${twice}. Give each board its own, such as node: aft, in its kit file.`,
    );
};
