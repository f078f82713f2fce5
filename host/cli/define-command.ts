import type { CommandModule } from 'yargs';

/**
 * Keeps a command's options typed inside its own file and lets commands of different options share one list.
 * The one cast of the command line lives here.
 */
export const defineCommand = <Options>(module: CommandModule<object, Options>): CommandModule =>
  module as unknown as CommandModule;
