import type { CommandModule } from 'yargs';
import { benchBoardCommand } from './bench-board-command.js';
import { benchCommand } from './bench-command.js';
import { convertCommand } from './convert-command.js';
import { exportCommand } from './export-command.js';
import { fitCommand } from './fit-command.js';
import { hostCommand } from './host-command.js';
import { importCommand } from './import-command.js';
import { nodeCommand } from './node-command.js';
import { outputsCommand } from './outputs-command.js';
import { planCommand } from './plan-command.js';
import { watchCommand } from './watch-command.js';

/** Every command, in the order an owner meets them. Each lives in its own file beside this one. */
export const commands: readonly CommandModule[] = [
  benchCommand,
  planCommand,
  watchCommand,
  nodeCommand,
  outputsCommand,
  hostCommand,
  benchBoardCommand,
  convertCommand,
  fitCommand,
  exportCommand,
  importCommand,
];
