import { loadKit, lookAtRecordingFile, openWiring, systemClock, type WiringLook } from '../../node/index.js';
import { nodeAnswers } from '../link/answers.js';
import { chosenDegrees } from '../settings/chosen-degrees.js';
import { defineCommand } from './define-command.js';
import { BadAnswerError, UnavailableError, UsageError } from './exit.js';
import { stayUntilStopped } from './long-running.js';
import { lookingWords, settledLook } from './settled-look.js';
import { summaries } from './summaries.js';
import { terminalWidth } from './terminal-width.js';
import { flagOption, kitOption } from './usual-options.js';
import { faultCount, wiringText } from './wiring-text.js';

const refreshMs = 1_000;

export const wiringCommand = defineCommand({
  ...summaries.wiring,
  when: 'On the table after building, and whenever a fault of a probe is reported. Stop the node first: a board serves one program.',
  caution: 'With the engine running keep hands and leads away from belts and the hot exhaust.',
  builder: (yargs) =>
    yargs
      .options(kitOption)
      .option('board', {
        type: 'string',
        describe: "Instead of the kit's own: auto, bench, a serial path, tcp://host:port",
      })
      .option('once', flagOption('Look for some seconds, answer, end'))
      .option('json', flagOption('One JSON object for each look'))
      .option('record', { type: 'string', describe: 'Write all that is sensed to this new file' })
      .option('replay', { type: 'string', describe: 'Look at such a file instead of a board' })
      .conflicts('replay', ['record', 'board'])
      .epilogue('Exit code 1 with --once or --replay when a fault was found.')
      .example('$0 wiring', 'Live, until Ctrl-C')
      .example('$0 wiring --once --json', 'For a script')
      .example('$0 wiring --record session.jsonl', 'Keep the session, to look at ashore'),
  handler: async ({ kit, board, once, json, record, replay, degrees: wanted }) => {
    const degrees = chosenDegrees({ degrees: wanted });
    const show = (look: WiringLook) =>
      console.log(
        json
          ? JSON.stringify(look)
          : wiringText(look, { colour: wantsColour(), degrees, width: terminalWidth() }),
      );
    if (replay !== undefined) {
      const look = await lookAtRecordingFile(replay);
      show(look);
      return judge(look);
    }
    if (board === undefined) await refuseBesideNode(kit);
    if (once) console.error(lookingWords);
    const wiring = await openWiring({
      kitPath: kit,
      ...(board !== undefined && { connection: board }),
      ...(record !== undefined && { recordTo: record }),
    });
    if (once) {
      const look = await settledLook(wiring.look, (words) => console.error(words), systemClock);
      await wiring.close();
      show(look);
      return judge(look);
    }
    if (!json && !process.stdout.isTTY && record === undefined)
      throw new UsageError('Live wiring needs a terminal. Use --once, --json or --record in a script.');
    const timer = setInterval(() => {
      if (!json && process.stdout.isTTY) console.log('\x1b[2J\x1b[H');
      if (json || process.stdout.isTTY) show(wiring.look());
    }, refreshMs);
    await stayUntilStopped(async () => {
      clearInterval(timer);
      await wiring.close();
    }, false);
  },
});

/** A board serves one program: with the watch running the port is only busy, and no cable is at fault. */
const refuseBesideNode = async (kitPath: string): Promise<void> => {
  const { link } = loadKit(kitPath);
  if (link.over !== 'tcp' || !(await nodeAnswers(link.listen, 500))) return;
  throw new UnavailableError(
    `elbowroom watch is running (its node answers at ${link.listen}) and holds the board. Stop it first: Ctrl-C in its window, or sudo systemctl stop elbowroom. Nothing guards the engines meanwhile. To look without stopping it: elbowroom status, or Set-up on the page.`,
  );
};

const judge = (look: WiringLook): void => {
  const faults = faultCount(look);
  if (faults > 0) throw new BadAnswerError(`${faults} ${faults === 1 ? 'fault' : 'faults'} found.`);
};

const wantsColour = (): boolean =>
  process.stdout.isTTY === true && !process.env.NO_COLOR && process.env.TERM !== 'dumb';
