import type { CommandModule } from 'yargs';
import { convertCommand } from './convert-command.js';

/** Every command, in the order an owner meets them. Each lives in its own file beside this one. */
export const commands: readonly CommandModule[] = [convertCommand];
