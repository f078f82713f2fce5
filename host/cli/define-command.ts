import type { ArgumentsCamelCase, Argv, CommandModule } from 'yargs';

/**
 * Keeps a command's options typed inside its own file, as its builder declares them,
 * and lets commands of different options share one list. The one cast of the command line lives here.
 */
export const defineCommand = <Options>(module: {
  readonly command: string;
  /** false hides the command from --help. */
  readonly describe: string | false;
  readonly builder: (yargs: Argv<object>) => Argv<Options>;
  readonly handler: (options: ArgumentsCamelCase<Options>) => void | Promise<void>;
}): CommandModule => module as unknown as CommandModule;
