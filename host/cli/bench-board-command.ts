import { benchKitYaml, runBench } from '../../node/bench/index.js';
import { loadKit } from '../../node/index.js';
import { sayProgress, sayReady } from '../supervise/messages.js';
import { defineCommand } from './define-command.js';
import { stayUntilStopped } from './long-running.js';
import { summaries } from './summaries.js';
import { flagOption } from './usual-options.js';
import { writeIfMissing } from './write-if-missing.js';

/** The emulated board alone; `elbowroom bench` runs it as a process of its own. */
export const benchBoardCommand = defineCommand({
  ...summaries['bench-board'],
  when: 'Never by hand: elbowroom bench starts it.',
  builder: (yargs) =>
    yargs
      .option('kit', { type: 'string', demandOption: true, describe: 'Kit file; written when there is none' })
      .option('board-port', { type: 'number', default: 8473, describe: "Port of the board's serial bytes" })
      .option('control-port', { type: 'number', default: 8471, describe: 'Port that takes orders' })
      .option('exit-with-parent', flagOption('Stop when the parent process is gone'))
      .example('$0 bench-board --kit kit.yaml', 'The emulated board of a kit, alone'),
  handler: async ({ kit: kitPath, boardPort, controlPort, exitWithParent }) => {
    writeIfMissing(kitPath, benchKitYaml);
    const bench = await runBench({
      kit: loadKit(kitPath),
      boardPort,
      controlPort,
      onPace: (words) => console.error(words),
    });
    console.error(
      `Board on tcp://127.0.0.1:${bench.boardPort}, control on http://127.0.0.1:${bench.controlPort}`,
    );
    let turns = 0;
    sayProgress(() => turns++);
    sayReady({ boardPort: bench.boardPort, controlPort: bench.controlPort });
    await stayUntilStopped(() => bench.close(), exitWithParent);
  },
});
