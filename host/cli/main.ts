#!/usr/bin/env node
import { hideBin } from 'yargs/helpers';
import { commandsFor } from './commands.js';
import { exitCodes } from './exit.js';
import { parserFor } from './parser.js';

/** A reader may close the pipe early; that is not an error. */
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  process.exit(error.code === 'EPIPE' ? 0 : exitCodes.unavailable);
});

const typed = hideBin(process.argv);
const parser = parserFor(typed, await commandsFor(typed[0]), ({ words, exitCode }) => {
  console.error(words);
  process.exit(exitCode);
});
await parser.parseAsync();
