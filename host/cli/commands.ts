import type { Argv, CommandModule } from 'yargs';
import { summaries } from './summaries.js';

type Name = keyof typeof summaries;
type Load = () => Promise<CommandModule>;

/**
 * Every command, in the order an owner meets them. Each lives in its own file beside this one,
 * and is loaded only when it is called: a computer in an engine room should not wait for what it does not use.
 */
export const commands: Readonly<Record<string, Load>> = {
  bench: async () => (await import('./bench-command.js')).benchCommand,
  plan: async () => (await import('./plan-command.js')).planCommand,
  flash: async () => (await import('./flash-command.js')).flashCommand,
  wiring: async () => (await import('./wiring-command.js')).wiringCommand,
  watch: async () => (await import('./watch-command.js')).watchCommand,
  status: async () => (await import('./status-command.js')).statusCommand,
  node: async () => (await import('./node-command.js')).nodeCommand,
  host: async () => (await import('./host-command.js')).hostCommand,
  'bench-board': async () => (await import('./bench-board-command.js')).benchBoardCommand,
  convert: async () => (await import('./convert-command.js')).convertCommand,
  calibrate: async () => (await import('./calibrate-command.js')).calibrateCommand,
  'calibrate-pressure': async () =>
    (await import('./calibrate-pressure-command.js')).calibratePressureCommand,
  verify: async () => (await import('./verify-command.js')).verifyCommand,
  rederive: async () => (await import('./rederive-command.js')).rederiveCommand,
  fit: async () => (await import('./fit-command.js')).fitCommand,
  commission: async () => (await import('./commission-command.js')).commissionCommand,
  replay: async () => (await import('./replay-command.js')).replayCommand,
  export: async () => (await import('./export-command.js')).exportCommand,
  import: async () => (await import('./import-command.js')).importCommand,
  forward: async () => (await import('./forward-command.js')).forwardCommand,
  degrees: async () => (await import('./degrees-command.js')).degreesCommand,
  access: async () => (await import('./access-command.js')).accessCommand,
  log: async () => (await import('./log-command.js')).logCommand,
  report: async () => (await import('./report-command.js')).reportCommand,
  backup: async () => (await import('./backup-command.js')).backupCommand,
  restore: async () => (await import('./restore-command.js')).restoreCommand,
  service: async () => (await import('./service-command.js')).serviceCommand,
  outputs: async () => (await import('./outputs-command.js')).outputsCommand,
} satisfies Record<Name, Load>;

/**
 * The one command that was called; all of them where it is not among them, for --help and for "did you mean". Those are
 * loaded only if one of them is run or asked for help after all.
 */
export const commandsFor = async (name: string | undefined): Promise<readonly CommandModule[]> => {
  const called = name !== undefined && Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (called) return [await called()];
  return Object.entries(commands).map(([known, load]) => unloaded(summaries[known as Name], load));
};

const unloaded = (
  summary: { readonly command: string; readonly describe: string | false },
  load: Load,
): CommandModule => ({
  ...summary,
  builder: (async (yargs: Argv) => {
    const { builder } = await load();
    return typeof builder === 'function' ? builder(yargs) : yargs;
  }) as unknown as NonNullable<CommandModule['builder']>,
  handler: async (options) => (await load()).handler(options),
});
