import { vi } from 'vitest';
import yargs, { type CommandModule } from 'yargs';
import { degreesOption } from '../../../host/cli/degrees-option.js';

export type Outcome = {
  readonly stdout: string;
  readonly stderr: string;
  /** What it ended with; 0 is done and good. */
  readonly exitCode: number;
};

/** Runs one command inside the test, as main.ts would: streams kept apart, an Ending turned into its exit code. */
export const runCommandHere = async (command: CommandModule, ...args: string[]): Promise<Outcome> => {
  let [stdout, stderr] = ['', ''];
  const spies = [
    vi.spyOn(console, 'log').mockImplementation((...words) => {
      stdout += `${words.join(' ')}\n`;
    }),
    vi.spyOn(console, 'error').mockImplementation((...words) => {
      stderr += `${words.join(' ')}\n`;
    }),
    vi.spyOn(process.stderr, 'write').mockImplementation((chunk) => {
      stderr += String(chunk);
      return true;
    }),
    vi.spyOn(process.stdout, 'write').mockImplementation((chunk) => {
      stdout += String(chunk);
      return true;
    }),
  ];
  try {
    await yargs(args)
      .scriptName('elbowroom')
      .command(command)
      .option('degrees', degreesOption)
      .strict()
      .exitProcess(false)
      .fail(false)
      .parseAsync();
    return { stdout, stderr, exitCode: 0 };
  } catch (error) {
    const { exitCode, blame, message } = error as { exitCode?: number; blame?: string; message: string };
    return { stdout, stderr: stderr + message, exitCode: exitCode ?? (blame === 'could-not' ? 3 : 2) };
  } finally {
    for (const spy of spies) spy.mockRestore();
  }
};
