import { createInterface } from 'node:readline/promises';
import { InterruptedError } from './exit.js';

/**
 * Runs an interview on the terminal: questions go to stderr. Ctrl-C or Ctrl-D at any question ends it with `InterruptedError`,
 * which the shell sees as 130.
 */
export async function interview<T>(
  conduct: (ask: (question: string) => Promise<string>) => Promise<T>,
): Promise<T> {
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  const over = new AbortController();
  lines.once('close', () => over.abort());
  // Ctrl-D that came before the first question has ended the input already.
  if (process.stdin.readableEnded) over.abort();
  try {
    return await conduct(async (question) => {
      try {
        over.signal.throwIfAborted();
        return await lines.question(question, { signal: over.signal });
      } catch (error) {
        if (!over.signal.aborted) throw error;
        throw new InterruptedError('\nStopped at a question; nothing was changed.', { cause: error });
      }
    });
  } finally {
    lines.close();
  }
}
