import { existsSync } from 'node:fs';
import { userInfo } from 'node:os';
import { resolve } from 'node:path';
import { hasSystemd, installUnit, removeUnit, stillRuns, unitPath, unitStatus } from '../service/systemd.js';
import { unitText } from '../service/unit.js';
import { defineCommand } from './define-command.js';
import { BadAnswerError, UnavailableError, UsageError } from './exit.js';
import { summaries } from './summaries.js';
import { flagOption } from './usual-options.js';

const tasks = ['install', 'status', 'remove'] as const;

export const serviceCommand = defineCommand({
  ...summaries.service,
  when: 'Once the kit is in the boat. A guard that must be started by hand after each power cut is not on watch.',
  caution:
    "It does not replace the engine's own alarms. After installing, cut the power and check that it starts again.",
  builder: (yargs) =>
    yargs
      .positional('task', { choices: tasks, demandOption: true, describe: 'What to do with the unit' })
      .option('folder', { type: 'string', default: '.', describe: 'The boat’s folder, with kit.yaml in it' })
      .option('kit', {
        type: 'string',
        array: true,
        nargs: 1,
        default: ['kit.yaml'],
        describe: 'The kit file, seen from that folder; repeat it for a second board',
      })
      .option('user', {
        type: 'string',
        describe: 'Who it runs as; the one who typed sudo, unless given',
      })
      .option('page-listen', { type: 'string', describe: 'As elbowroom watch has it' })
      .option('dry-run', flagOption('Print the unit and change nothing'))
      .example('sudo $0 service install', 'In the boat’s folder')
      .example('$0 service install --dry-run', 'See the unit first'),
  handler: async ({ task, folder, kit, user, pageListen, dryRun }) => {
    if (task === 'install') return install({ folder: resolve(folder), kit, user, pageListen, dryRun });
    if (dryRun) throw new UsageError('--dry-run goes with: elbowroom service install');
    requireSystemd();
    if (task === 'remove') {
      requireRoot('remove');
      removeUnit();
      console.log(
        `Removed ${unitPath}. The boat's folder is as it was; nothing guards now until elbowroom watch runs.`,
      );
      return;
    }
    if (!existsSync(unitPath))
      throw new BadAnswerError('Not installed. To install: sudo elbowroom service install');
    const { code, text } = unitStatus();
    console.log(text);
    if (code !== 0)
      throw new BadAnswerError(
        'The service does not run: nothing guards. See above, or: journalctl -u elbowroom',
      );
  },
});

const install = async (asked: {
  folder: string;
  kit: readonly string[];
  user: string | undefined;
  pageListen: string | undefined;
  dryRun: boolean;
}): Promise<void> => {
  const { folder, kit, pageListen, dryRun } = asked;
  const missing = kit.find((path) => !existsSync(resolve(folder, path)));
  if (missing !== undefined)
    throw new UsageError(
      `There is no ${resolve(folder, missing)}. Give the boat's folder with --folder, or write a kit: elbowroom plan`,
    );
  const user = asked.user ?? process.env.SUDO_USER ?? userInfo().username;
  const text = unitText({
    nodePath: process.execPath,
    entryPath: resolve(process.argv[1] ?? ''),
    folder,
    user,
    watchArguments: [
      ...kit.flatMap((path) => ['--kit', path]),
      ...(pageListen === undefined ? [] : ['--page-listen', pageListen]),
    ],
  });
  if (dryRun) {
    console.log(text);
    return;
  }
  requireSystemd();
  requireRoot('install');
  if (user === 'root')
    throw new UsageError('It should not run as root. Say who: sudo elbowroom service install --user NAME');
  const failed = installUnit(text);
  if (failed)
    throw new UnavailableError(
      `${failed.text}\nThe unit is at ${unitPath}; look at it, then: sudo elbowroom service install`,
    );
  console.error('Started. Waiting a few seconds to see whether it keeps running.');
  const stopped = await stillRuns();
  if (stopped !== undefined)
    throw new BadAnswerError(
      `Installed ${unitPath}, but nothing guards. ${stopped}\nWhy: journalctl -u elbowroom. Or stop it and start it by hand in ${folder}, as ${user}: elbowroom watch`,
    );
  console.log(
    `Installed ${unitPath}. It runs now as ${user} and starts with the computer.\nLook: elbowroom service status. Try it: cut the power, give it back, and open the page.`,
  );
};

const requireSystemd = (): void => {
  if (!hasSystemd())
    throw new UnavailableError(
      'This computer is not run by systemd. Let whatever starts its programs run: elbowroom watch --kit kit.yaml',
    );
};

const requireRoot = (task: string): void => {
  if (process.getuid?.() !== 0)
    throw new UsageError(`That changes the system. Type: sudo elbowroom service ${task}`);
};
