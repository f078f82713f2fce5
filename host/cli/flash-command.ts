import { flashableBoards, flashStockFirmware } from '../../node/index.js';
import { defineCommand } from './define-command.js';
import { summaries } from './summaries.js';
import { jsonOption } from './usual-options.js';

const boards = Object.keys(flashableBoards) as (keyof typeof flashableBoards)[];

export const flashCommand = defineCommand({
  ...summaries.flash,
  when: 'Once for each board, on the table, before anything is wired to it.',
  builder: (yargs) =>
    yargs
      .positional('port', {
        type: 'string',
        default: 'auto',
        describe: 'auto, a serial path such as /dev/ttyACM0 or COM3, or tcp://host:port',
      })
      .option('board', {
        choices: boards,
        default: 'uno' as const,
        describe: boards.map((board) => `${board}: ${flashableBoards[board].name}`).join('; '),
      })
      .options(jsonOption)
      .example('$0 flash', 'the only board that is plugged in')
      .example('$0 flash /dev/ttyUSB0 --board nano-old', 'an older Nano')
      .example('$0 flash --board mega', 'a Mega')
      .epilogue(
        'The sketch that is on the board now is overwritten. Stop the node first: only one program can have the port. Nothing is written unless the board answers as the one you name and its chip as the one the program is for.',
      ),
  handler: async ({ port, board, json }) => {
    const progress = progressOn(process.stderr);
    const done = await flashStockFirmware({
      connection: port,
      board,
      onProgress: progress.show,
      onAskedAs: (other) => console.error(`No answer as ${board}; asking whether it is ${other}`),
    }).finally(progress.endLine);
    if (json) console.log(JSON.stringify(done));
    else
      console.log(
        `StandardFirmata ${done.version} is on the board at ${done.port}: ${done.bytes} bytes written and read back. Next: elbowroom wiring`,
      );
  },
});

/** One line that is written over on a terminal; elsewhere a line for every tenth. */
function progressOn(out: NodeJS.WriteStream) {
  let written = '';
  const endLine = () => {
    if (out.isTTY && written !== '') out.write('\n');
    written = '';
  };
  const show = ({ doing, share }: { readonly doing: string; readonly share: number }) => {
    const line = `${doing} ${Math.floor(share * 10) * 10} %`;
    if (line === written) return;
    written = line;
    out.write(out.isTTY ? `\r${line.padEnd(16)}` : `${line}\n`);
    if (share === 1) endLine();
  };
  return { show, endLine };
}
