import { vi } from 'vitest';
import type { CommandModule } from 'yargs';
import { parserFor, type Trouble } from '../../../host/cli/parser.js';

export type Outcome = {
  readonly stdout: string;
  readonly stderr: string;
  /** What it ended with; 0 is done and good. */
  readonly exitCode: number;
};

/** Runs one command inside the test, as main.ts does: streams kept apart, a CommandError turned into its exit code. */
export const runCommandHere = async (command: CommandModule, ...args: string[]): Promise<Outcome> => {
  let [stdout, stderr] = ['', ''];
  let trouble: Trouble | undefined;
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
    const parser = parserFor(args, [command], (why) => {
      trouble = why;
      throw new Error('ended');
    });
    await parser.exitProcess(false).parseAsync();
    return { stdout, stderr, exitCode: 0 };
  } catch (error) {
    // The parser throws on what the command threw, once it has said what it comes to.
    if (!trouble) throw error;
    return { stdout, stderr: stderr + trouble.words, exitCode: trouble.exitCode };
  } finally {
    for (const spy of spies) spy.mockRestore();
  }
};
