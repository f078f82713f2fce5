import { flashableBoards, flashStockFirmware } from '../../node/index.js';
import { defineCommand } from './define-command.js';

const boards = Object.keys(flashableBoards) as (keyof typeof flashableBoards)[];

export const flashCommand = defineCommand({
  command: 'flash [port]',
  describe: 'Put the stock StandardFirmata on an Arduino Uno or Nano, and check every byte of it',
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
      .option('json', { type: 'boolean', default: false, describe: 'One JSON document on stdout' })
      .example('$0 flash', 'the only board that is plugged in')
      .example('$0 flash /dev/ttyUSB0 --board nano-old', 'an older Nano')
      .epilogue(
        'The sketch that is on the board now is overwritten. Stop the node first: only one program can have the port. Nothing is written unless the chip names itself as the one the program is for.',
      ),
  handler: async ({ port, board, json }) => {
    let told = -1;
    const done = await flashStockFirmware({
      connection: port,
      board,
      onProgress: ({ doing, share }) => {
        // Every tenth is enough; the first tenth of checking follows the last of writing.
        const tenths = Math.floor(share * 10) + (doing === 'checking' ? 11 : 0);
        if (tenths === told) return;
        told = tenths;
        console.error(`${doing} ${Math.floor(share * 10) * 10} %`);
      },
    });
    if (json) console.log(JSON.stringify(done));
    else
      console.log(
        `StandardFirmata ${done.version} is on the board at ${done.port}: ${done.bytes} bytes written and read back. Next: elbowroom wiring`,
      );
  },
});
