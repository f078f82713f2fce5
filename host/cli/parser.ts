import yargs, { type Argv, type CommandModule } from 'yargs';
import { scales } from '../wording/degrees.js';
import { exitCodeOf, exitCodes } from './exit.js';
import { mistyped } from './mistyped.js';
import { ownVersion } from './own-version.js';
import { proseWidth } from './terminal-width.js';
import { wellAsked } from './well-asked.js';

const story = `How much room is left before something overheats, and is the room shrinking?

First time here: elbowroom bench      (an invented boat on an emulated board)
On your own boat: elbowroom watch --kit kit.yaml

This kit does not replace the engine's own alarms.`;

/** Taken by every command: what a person reads at the terminal. `chosenDegrees` says what it comes to. */
const degreesOption = {
  choices: scales,
  global: true,
  requiresArg: true,
  describe: 'Unit shown by this command; elbowroom degrees sets it for all. Files and --json stay Celsius',
} as const;

/** What a command that could not run ends with: its words on stderr, and the exit code. */
export type Trouble = { readonly words: string; readonly exitCode: number };

type WithOptions = { getOptions(): Parameters<typeof wellAsked>[1] };

/** The command line over `commands`. `onTrouble` gets the reason why nothing was run, or how what was run ended. */
export const parserFor = (
  typed: readonly string[],
  commands: readonly CommandModule[],
  onTrouble: (trouble: Trouble) => void,
): Argv => {
  const parser: Argv = yargs([...typed])
    .scriptName('elbowroom')
    .version(ownVersion())
    .usage(`$0 <command>\n\n${story}`)
    .demandCommand(1, 'Say which command.')
    .option('degrees', degreesOption)
    .recommendCommands()
    .alias('help', 'h')
    .detectLocale(false)
    .strict()
    .check((options, declared) => wellAsked(options, declared as unknown as Parameters<typeof wellAsked>[1]))
    .wrap(proseWidth())
    .fail((message: string | undefined, error: unknown) => {
      const { key } = (parser as unknown as WithOptions).getOptions();
      const called = commands.length === 1 ? typed[0] : undefined;
      onTrouble(troubleOf(message, error, typed, Object.keys(key), called));
    });
  return commands.reduce((so, command) => so.command(command), parser);
};

const troubleOf = (
  message: string | undefined,
  error: unknown,
  typed: readonly string[],
  known: readonly string[],
  name: string | undefined,
): Trouble => {
  const code = exitCodeOf(error);
  if (code !== undefined) return { words: (error as Error).message, exitCode: code };
  if (message) {
    const said = (message.startsWith('Unknown argument') && mistyped(typed, known)) || message;
    const help =
      name === undefined ? 'elbowroom --help lists them.' : `elbowroom ${name} --help shows what it takes.`;
    return { words: `${said}\n${help}`, exitCode: exitCodes.usage };
  }
  return {
    words: error instanceof Error ? (error.stack ?? error.message) : String(error),
    exitCode: exitCodes.unavailable,
  };
};
