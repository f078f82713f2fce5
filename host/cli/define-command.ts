import type { ArgumentsCamelCase, Argv, CommandModule } from 'yargs';

/**
 * Keeps a command's options typed inside its own file, as its builder declares them,
 * and lets commands of different options share one list. The one cast of the command line lives here.
 */
export const defineCommand = <Options>(module: {
  readonly command: string;
  /** false hides the command from --help. */
  readonly describe: string | false;
  /** In which part of the story somebody runs it; a command within a command leaves it to the outer one. */
  readonly when?: string;
  /** What can hurt somebody who does what it is for. */
  readonly caution?: string;
  readonly builder: (yargs: Argv<object>) => Argv<Options>;
  readonly handler: (options: ArgumentsCamelCase<Options>) => void | Promise<void>;
}): CommandModule =>
  ({
    command: module.command,
    describe: module.describe,
    builder: (yargs: Argv<object>) =>
      [
        ...(module.when === undefined ? [] : [`When: ${module.when}`]),
        ...(module.caution === undefined ? [] : [`Caution: ${module.caution}`]),
      ].reduce((so, words) => so.epilogue(words), module.builder(yargs)),
    // Async, so that what a handler throws at once ends the same way as what it throws later.
    handler: async (options: ArgumentsCamelCase<Options>) => module.handler(options),
  }) as unknown as CommandModule;
