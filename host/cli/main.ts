#!/usr/bin/env node
import './small-heap.js';
import yargs from 'yargs';
import { hideBin } from 'yargs/helpers';
import { commandsFor } from './commands.js';
import { degreesOption } from './degrees-option.js';
import { exitCodeOf, exitCodes } from './exit.js';

const story = `How much room is left before something overheats, and is the room shrinking?

First time here: elbowroom bench      (an invented boat on an emulated board)
On your own boat: elbowroom watch --kit kit.yaml

This kit does not replace the engine's own alarms.`;

/** A reader that closed the pipe has had enough; that is not an error. */
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  process.exit(error.code === 'EPIPE' ? 0 : exitCodes.couldNot);
});

const parser = yargs(hideBin(process.argv))
  .scriptName('elbowroom')
  .usage(`$0 <command>\n\n${story}`)
  .demandCommand(1, 'Say which command. elbowroom --help lists them.')
  .option('degrees', degreesOption)
  .recommendCommands()
  .strict()
  .wrap(Math.min(100, process.stdout.columns ?? 100))
  .fail((message: string | undefined, error: unknown) => {
    const code = exitCodeOf(error);
    if (code !== undefined) {
      console.error((error as Error).message);
      process.exit(code);
    }
    if (message) {
      console.error(
        `${message}\nelbowroom ${process.argv[2] ?? ''} --help shows what it takes.`.replace('  ', ' '),
      );
      process.exit(exitCodes.askedWrongly);
    }
    console.error(error instanceof Error ? (error.stack ?? error.message) : String(error));
    process.exit(exitCodes.couldNot);
  });

for (const command of await commandsFor(process.argv[2])) parser.command(command);
await parser.parseAsync();
